"""Who it happens to, and when: what is denied, long mended or another's does not push."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from triage.language import Document
from triage.language.tokens import Token
from triage.model import Span

LEAD = 2  # words that may stand before a bare "no" at the head of a sentence: "there is no smoke"
# words that close a trouble; they settle it only in the sentence that tells it, or in the next one
SETTLED = frozenset("fixed mended repaired cured sorted renewed solved replaced".split())
SINCE = frozenset("since now ever perfect fine trouble gone again good well".split())
AGAIN = frozenset("still again keeps another yet back returned not".split())
DENIALS = frozenset({"no", "nothing", "never", "none", "nobody"})
NOT = frozenset("not dont doesnt didnt isnt wasnt arent werent cant cannot couldnt wont havent hasnt never no".split())
HEAD = 5  # words at the head of a stretch among which a "not" turns what it tells: "the pack isn't swollen"
WELL = frozenset("fine ok okay good great perfect strong tight dry cool sound normal normally properly".split())
TURN = 3  # words that may stand between a "not" and what it turns
QUESTION = frozenset("what which how can could should may would will where who do does am".split())
# words after which a sentence tells what somebody else's vehicle did
STRANGER = frozenset("neighbour neighbours neighbor friend friends former previous last".split())
THEIRS = frozenset("his hers theirs theirs cart buggy pack car owner one".split())


@dataclass(frozen=True)
class Standings:
    """Standing of each stretch of one text."""

    document: Document

    def pushes(self, first: int, last: int) -> bool:
        """True when the words at tokens first..last (half open) are of the asker's vehicle, true, and not over."""
        scopes = self.document.scopes
        return not (
            scopes.denied(first, last) or scopes.other(first) or self.over(self.document.tokens[first].sentence)
        )

    def turned(self, first: int, last: int) -> bool:
        """A "not" stands in the stretch, or shortly before it in its clause: "the batteries did not freeze"."""
        tokens = self.document.tokens
        if first and tokens[first - 1].norm in DENIALS:  # "nothing smells of it"
            return True
        near = tokens[max(0, first - TURN) : last]
        return any(token.norm in NOT and token.clause == tokens[last - 1].clause for token in near)

    def planned(self, first: int) -> bool:
        """True when a wish or a question about a change governs the word."""
        return self.document.scopes.planned(first)

    def asks(self, first: int) -> bool:
        """True when a stretch that starts here opens as a question."""
        return self.document.tokens[first].norm in QUESTION

    def denies(self, first: int, last: int) -> bool:
        """A bare denial stands among tokens first..last (half open): likeness of meaning is deaf to it."""
        return any(token.norm in DENIALS for token in self.document.tokens[first:last])

    def sentence(self, start: int) -> int:
        """Number of the sentence at a place in the text; -1 where no token stands."""
        return next((token.sentence for token in self.document.tokens if token.end > start), -1)

    def stretch(self, span: Span) -> tuple[int, int]:
        """Tokens first..last (half open) within a span."""
        tokens = self.document.tokens
        inside = [i for i, token in enumerate(tokens) if span.start <= token.start and token.end <= span.end]
        return (inside[0], inside[-1] + 1) if inside else (0, 0)

    def soothes(self, first: int, last: int, *, by_not: bool) -> bool:
        """A stretch, tokens first..last (half open), says that all is well; `by_not`: or opens with a "not"."""
        words = [token.norm for token in self.document.tokens[first:last] if token.is_word]
        if by_not and not (NOT | DENIALS).isdisjoint(words[:HEAD]):
            return True
        return any(word in WELL and NOT.isdisjoint(words[max(0, i - TURN) : i]) for i, word in enumerate(words))

    def over(self, sentence: int) -> bool:
        """The trouble of this sentence was mended, and nothing says that it came back."""
        words = self._words.get(sentence, frozenset())
        after = self._words.get(sentence + 1, frozenset())
        if words & AGAIN:
            return False
        return bool(words & SETTLED and words & SINCE) or bool(after & SETTLED and after & SINCE and not after & AGAIN)

    def calm(self, sentence: int) -> bool:
        """The whole sentence is denied, or over: meaning alone must not make a danger of it."""
        tokens = self._tokens.get(sentence, ())
        denied = any(token.norm in DENIALS for token in tokens[: LEAD + 1])
        return denied or (bool(tokens) and self.over(sentence))

    def others(self, first: int) -> bool:
        """The sentence of the token tells of somebody else's vehicle: noted perhaps, but it does not press."""
        tokens = self._tokens.get(self.document.tokens[first].sentence, ())
        return bool(tokens) and self._of_stranger(tokens)

    def _of_stranger(self, tokens: Sequence[Token]) -> bool:
        if self.document.scopes.other(self.document.tokens.index(tokens[-1])):
            return True
        words = [token.norm for token in tokens]
        return any(word in STRANGER and THEIRS & set(words[i + 1 : i + 3]) for i, word in enumerate(words))

    @cached_property
    def _tokens(self) -> dict[int, list[Token]]:
        result: dict[int, list[Token]] = {}
        for token in self.document.tokens:
            if token.is_word:
                result.setdefault(token.sentence, []).append(token)
        return result

    @cached_property
    def _words(self) -> dict[int, frozenset[str]]:
        return {number: frozenset(token.norm for token in tokens) for number, tokens in self._tokens.items()}

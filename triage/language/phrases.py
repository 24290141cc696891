"""Find phrases in tokens: words side by side (a trie), or in order with small gaps (patterns)."""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from triage.language.tokens import Token, tokenise

Payload = TypeVar("Payload")
MAX_GAP = 3
# a denial reaches no further than its clause: "wont go, it clicks" is not "wont click"
NEGATIVE = frozenset("no not wont doesnt dont isnt never cant didnt wouldnt without".split())
DENYING = frozenset({"no", "without", "never"})  # "theres no smoke" is not "theres smoke"


@dataclass(frozen=True, slots=True)
class Found(Generic[Payload]):
    """A phrase found: tokens first..last (half open) and what was stored with it."""

    first: int
    last: int
    payload: Payload


class PhraseTrie(Generic[Payload]):
    """Contiguous phrases; every stored phrase that starts at a token is found."""

    def __init__(self) -> None:
        self._root: dict[str, Any] = {}

    def add(self, phrase: str, payload: Payload, *, same: Callable[[Payload, Payload], bool] = operator.eq) -> None:
        """Store a phrase; its words are folded as those of the text are. What means the same is kept once."""
        node = self._root
        for token in tokenise(phrase):
            node = node.setdefault(token.stem, {})
        stored = node.setdefault("", [])
        if not any(same(payload, other) for other in stored):
            stored.append(payload)

    def find(self, stems: Sequence[str]) -> Iterator[Found[Payload]]:
        """Every stored phrase in the text, in order of start, shorter before longer."""
        root = self._root
        for first, word in enumerate(stems):
            node = root.get(word)
            last = first + 1
            while node is not None:
                for payload in node.get("", ()):
                    yield Found(first, last, payload)
                if last == len(stems):
                    break
                node = node.get(stems[last])
                last += 1


class GappedPatterns(Generic[Payload]):
    """Patterns whose words stand in one sentence, in order, with at most MAX_GAP words between neighbours.

    A word of a pattern may hold alternatives: "wont move|go".
    """

    def __init__(self) -> None:
        self._by_first: dict[str, list[tuple[tuple[frozenset[str], ...], Payload]]] = {}

    def add(self, pattern: str, payload: Payload) -> None:
        """Store a pattern."""
        words = tuple(_alternatives(word) for word in pattern.split())
        for first in words[0]:
            self._by_first.setdefault(first, []).append((words[1:], payload))

    def find(self, tokens: Sequence[Token], forms: Sequence[frozenset[str]]) -> Iterator[Found[Payload]]:
        """Every pattern found, once per starting token; `forms` are the stems each token may stand for."""
        for first, words in enumerate(forms):
            for word in words:
                for rest, payload in self._by_first.get(word, ()):
                    last = _follow(tokens, forms, first, rest)
                    if last:
                        yield Found(first, last, payload)


def _alternatives(word: str) -> frozenset[str]:
    stems = (token.stem for option in word.split("|") for token in tokenise(option) if token.kind != "mark")
    return frozenset(stems)


def _follow(
    tokens: Sequence[Token], forms: Sequence[frozenset[str]], first: int, rest: Iterable[frozenset[str]]
) -> int:
    """Index after the last word of the pattern, or 0 when it is not there."""
    position, sentence = first, tokens[first].sentence
    for options in rest:
        negative = tokens[position].norm in NEGATIVE
        for step in range(position + 1, min(position + 2 + MAX_GAP, len(tokens))):
            if tokens[step].sentence != sentence or (negative and tokens[step].clause != tokens[position].clause):
                return 0
            if options & forms[step]:
                position = step
                break
            if tokens[step].norm in DENYING:
                return 0
        else:
            return 0
    return position + 1

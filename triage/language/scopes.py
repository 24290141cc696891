"""What governs a phrase: a denial, a hedge, hearsay, another person's vehicle, a plan, the past."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from triage.language.tokens import Token

DENIAL_REACH = 4  # words between a denial and what it denies
HEDGE_REACH = 7
PLAN_REACH = 12
_VOCATIVE = frozenset({"hello", "hi", "dear", "hey", "thanks", "cheers", "sorry", "yes", "ok"})
_APPROXIMATE = frozenset({"about", "about a", "around", "roughly", "approx", "approximately", "or so", "ish", "circa"})
_PLAN_BREAKERS = frozenset("from my mine our because but currently already goes does is has now".split())
_DENIAL_BREAKERS = frozenset({"but", "just", "only", "until", "unless", "except", "since", "when", "if"})


@dataclass(frozen=True, slots=True)
class Cue:
    """A cue phrase at tokens first..last (half open)."""

    kind: str
    phrase: str
    first: int
    last: int


class Scopes:
    """Answers, for a range of tokens, which cues govern it."""

    def __init__(self, tokens: Sequence[Token], cues: Sequence[Cue]) -> None:
        self._tokens = tokens
        self._cues: Mapping[str, list[Cue]] = _by_kind(cues)

    def cues(self, kind: str) -> list[Cue]:
        """All cues of a kind, in order."""
        return self._cues.get(kind, [])

    def denied(self, first: int, last: int) -> bool:
        """A denial shortly before in the same clause, or a bare "no"/"none" right after ("lift: none")."""
        for cue in self.cues("denial"):
            if not self._is_false_denial(cue) and self._denies(cue, first):
                return True
        return self._denied_after(last)

    def _denies(self, cue: Cue, first: int) -> bool:
        if not 0 <= first - cue.last <= DENIAL_REACH or not self._same_clause(cue.last - 1, first):
            return False
        return not self._words_between(cue.last, first) & _DENIAL_BREAKERS

    def _denied_after(self, last: int) -> bool:
        following = [token.norm for token in self._tokens[last : last + 2]]
        answered = following[:1] in ([":"], ["?"], ["="], ["-"]) and following[1:] in (
            ["no"],
            ["none"],
            ["n"],
            ["nope"],
        )
        return answered

    def _is_false_denial(self, cue: Cue) -> bool:
        wider = (*self.cues("not_denial"), *self.cues("correction"))
        return any(other.first <= cue.first and cue.last <= other.last for other in wider)

    def hedged(self, first: int, last: int, *, numeric: bool = False) -> bool:
        """A hedge in the same clause, before or shortly after; approximations hedge numbers only."""
        for cue in self.cues("hedge"):
            if cue.phrase in _APPROXIMATE and not numeric:
                continue
            reach = 1 if cue.phrase in _APPROXIMATE else HEDGE_REACH
            if 0 <= first - cue.last <= reach and self._same_clause(cue.last - 1, first):
                return True
            if numeric and cue.phrase in _APPROXIMATE and cue.first == last:
                return True
            if 0 <= cue.first - last <= 3 and self._same_sentence(cue.first, last - 1) and self._ends_clause(cue.last):
                return True
        return False

    def _ends_clause(self, index: int) -> bool:
        """A hedge that trails ("2009 i think") closes its clause; one that opens the next does not count."""
        return (
            index >= len(self._tokens) or self._tokens[index].kind == "mark" or not self._same_clause(index - 1, index)
        )

    def hearsay(self, first: int) -> bool:
        """Somebody said so, earlier in the same sentence or right after ("2014 he says")."""
        return any(
            (cue.last <= first and self._same_sentence(cue.first, first)) or 0 < cue.first - first <= 2
            for cue in self.cues("hearsay")
        )

    def past(self, first: int) -> bool:
        """Past words before it in the same clause."""
        return any(
            0 <= first - cue.last <= HEDGE_REACH and self._same_clause(cue.last - 1, first) for cue in self.cues("past")
        )

    def planned(self, first: int) -> bool:
        """A wish or question about a change shortly before, with no turn back to the vehicle as it is."""
        for cue in self.cues("plan"):
            between = self._words_between(cue.last, first)
            near = 0 <= first - cue.last <= PLAN_REACH and self._same_sentence(cue.last - 1, first)
            if near and not between & _PLAN_BREAKERS:
                return True
        return False

    def other(self, first: int, last: int = 0) -> bool:
        """Inside a stretch about another person's or a former vehicle, until the asker turns back to their own."""
        if any(0 <= cue.first - (last or first + 1) <= 2 for cue in self.cues("other_after")):
            return True
        started = [cue for cue in self.cues("other") if cue.first <= first and not self._is_vocative(cue)]
        if not started:
            return False
        cue = started[-1]
        if self._tokens[first].sentence > self._tokens[cue.first].sentence + 1:
            return False
        if self._turns_back(cue, first):
            return False
        return self._same_sentence(cue.first, first) or self._continues_other(cue, first)

    def _turns_back(self, cue: Cue, first: int) -> bool:
        """An own cue, or "my ..." and "our ..." that does not start another person, between the cue and here."""
        if any(cue.last <= own.first <= first for own in self.cues("own")):
            return True
        foreign = {index for other in self.cues("other") for index in range(other.first, other.last)}
        return any(
            self._tokens[index].norm in ("my", "our", "mine", "ours") and index not in foreign
            for index in range(cue.last, first)
        )

    def _is_vocative(self, cue: Cue) -> bool:
        """ "Hello my friend, ..." speaks to the shop."""
        return cue.first > 0 and self._tokens[cue.first - 1].norm in _VOCATIVE

    def _continues_other(self, cue: Cue, first: int) -> bool:
        """The next sentence goes on about the other vehicle only when it opens with "his", "that one", "it"."""
        sentence = self._tokens[first].sentence
        opening = next(token for token in self._tokens if token.sentence == sentence)
        return opening.norm in ("his", "hers", "theirs", "that", "it", "he", "she", "they")

    def corrected(self, first: int) -> bool:
        """A correction cue in the same sentence before it, or just before in the last one."""
        return any(
            0 <= first - cue.last <= PLAN_REACH and self._tokens[first].sentence - self._tokens[cue.first].sentence <= 1
            for cue in self.cues("correction")
        )

    def contrast(self, first: int, last: int) -> bool:
        """ "X not Y": this is Y, right after a bare "not"."""
        return first > 0 and self._tokens[first - 1].norm == "not"

    def _words_between(self, first: int, last: int) -> set[str]:
        return {token.norm for token in self._tokens[first:last]}

    def _same_clause(self, a: int, b: int) -> bool:
        return self._tokens[a].clause == self._tokens[b].clause

    def _same_sentence(self, a: int, b: int) -> bool:
        return self._tokens[a].sentence == self._tokens[b].sentence


def _by_kind(cues: Sequence[Cue]) -> dict[str, list[Cue]]:
    result: dict[str, list[Cue]] = {}
    for cue in cues:
        result.setdefault(cue.kind, []).append(cue)
    return result

"""Whose facts: the asker's first vehicle or their second."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from triage.facts.candidate import Candidate
from triage.language import Document
from triage.language.cues import Cue

_NAMING = frozenset({"make", "model", "powertrain", "year", "pack_voltage"})
_DECIDING = frozenset({"make", "model", "powertrain"})
_JOINTS = frozenset({"and", "but", "while"})
_AND_OWN = frozenset({"a", "an", "my", "our", "one", "and"})
_APART = frozenset({"and", "the", ",", "but"})
_ONE_REACH = 5  # words from "one" to what is told of it
_NAMED_REACH = 30  # words from a cue to the name it introduces
_PAIR_REACH = 12  # words between two models told side by side


@dataclass
class _Told:
    """What has been told of each vehicle so far."""

    values: dict[int, dict[str, object]] = field(default_factory=lambda: {1: {}, 2: {}})

    def owner(self, candidate: Candidate) -> int:
        """The vehicle of which this very value was told; 0 when none."""
        if candidate.name not in _DECIDING:
            return 0
        owners = [number for number in (1, 2) if self.values[number].get(candidate.name) == candidate.value]
        return owners[0] if len(owners) == 1 else 0

    def add(self, candidate: Candidate, vehicle: int) -> None:
        if candidate.name in _NAMING:
            self.values[vehicle].setdefault(candidate.name, candidate.value)


def vehicle_numbers(ordered: Sequence[Candidate], document: Document) -> list[int]:
    """Vehicle number per candidate: the second starts at a cue or "and a ..."; naming one again goes back to it."""
    starts = _starts(ordered, document)
    told, current, started, result = _Told(), 1, 0, list[int]()
    for candidate in ordered:
        while started < len(starts) and starts[started] <= candidate.first:
            started += 1
            current = _other(current, told)
        if started:
            current = told.owner(candidate) or current
        told.add(candidate, current)
        result.append(current)
    return result


def _other(current: int, told: _Told) -> int:
    """A start before anything was told is the first vehicle's; once both are known the text goes on about the last."""
    if current == 1 and told.values[1] and not told.values[2]:
        return 2
    return current


def _starts(ordered: Sequence[Candidate], document: Document) -> list[int]:
    """Places where another own vehicle begins."""
    naming = _Places([c for c in ordered if c.name in _NAMING])
    models = _Places([c for c in ordered if c.name == "model"])
    seconds = document.scopes.cues("second_vehicle")
    cues = {cue.first for cue in seconds if _introduces(cue, naming, document)}
    again = {cue.first for cue in document.scopes.cues("own") if _returns(cue, models)} if seconds else set()
    told_apart = {*_pairs(models.candidates, document), *_one_and_one(naming.candidates, document)}
    return sorted(cues | again | told_apart)


class _Places:
    """Candidates that can be looked up by place."""

    def __init__(self, candidates: Sequence[Candidate]) -> None:
        self.candidates = candidates
        self._firsts = [candidate.first for candidate in candidates]

    def between(self, low: int, high: int) -> Sequence[Candidate]:
        """Candidates that start at tokens low..high (both included)."""
        return self.candidates[bisect_left(self._firsts, low) : bisect_right(self._firsts, high)]

    def last_before(self, index: int) -> Candidate | None:
        """The last candidate that starts before the token."""
        position = bisect_left(self._firsts, index)
        return self.candidates[position - 1] if position else None


def _introduces(cue: Cue, naming: _Places, document: Document) -> bool:
    """A cue counts only when its sentence goes on to name a vehicle: "the other one" alone may be a cable."""
    return any(document.same_sentence(c.first, cue.first) for c in naming.between(cue.first, cue.first + _NAMED_REACH))


def _pairs(models: Sequence[Candidate], document: Document) -> Iterator[int]:
    """ "a 36 volt NAME and a 72 volt NAME": the second begins at the "and"."""
    for one, two in pairwise(models):
        if one.value == two.value or not 0 < two.first - one.last <= _PAIR_REACH:
            continue
        if document.scopes.other(one.first, one.last) or document.scopes.other(two.first, two.last):
            continue
        gap = range(one.last, two.first)
        joint = [i for i in gap if document.norm(i) in _JOINTS and document.norm(i + 1) in _AND_OWN]
        if joint and document.same_sentence(one.first, two.first):
            yield joint[0]


def _one_and_one(naming: Sequence[Candidate], document: Document) -> Iterator[int]:
    """ "one cart 36 volts and one 48", "one is petrol, the other electric": the second begins at its "one"."""
    for one, two in pairwise(naming):
        if one.name != two.name or one.value == two.value or not 0 < two.first - one.last <= _PAIR_REACH:
            continue
        gap = range(one.last, two.first)
        second = [i for i in gap if document.norm(i) in ("one", "other") and document.norm(i - 1) in _APART]
        before = {document.norm(i) for i in range(one.first - _ONE_REACH, one.first)}
        if second and "one" in before and document.same_sentence(one.first, two.first):
            yield second[0]


def _returns(cue: Cue, models: _Places) -> bool:
    """ "my husband's is a NAME and my own NAME": back to the asker's own one, another model."""
    near = models.between(cue.first, cue.last + 2)
    before = models.last_before(cue.first)
    return bool(near) and before is not None and before.value != near[0].value

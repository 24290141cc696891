"""Cases in which a cause was confirmed: one line a case in the shop's file, added and taken back by that line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from triage.pack.render import to_yaml
from triage.pack.schema import Cause, CauseSeen
from triage.pack.seen import with_seen


@dataclass(frozen=True, slots=True)
class Shift:
    """How the shop's cases moved one cause."""

    cause: str
    label: str
    cases: tuple[str, ...]
    before: float  # prior of the pack
    now: float


def case_of(thread: int, on: date) -> str:
    """The line of a case."""
    return f"thread {thread}, {on.isoformat()}"


def confirmed(seen: Mapping[str, CauseSeen], cause: str, thread: int, on: date) -> dict[str, CauseSeen]:
    """With a case counted; the same thread counts once, for the cause named last."""
    cleared = taken_back(seen, thread)
    entry = cleared.get(cause, CauseSeen(cause))
    return cleared | {cause: replace(entry, seen=[*entry.seen, case_of(thread, on)])}


def taken_back(seen: Mapping[str, CauseSeen], thread: int) -> dict[str, CauseSeen]:
    """Without the case of a thread; a cause without cases is left out."""
    kept = {
        name: [line for line in entry.seen if not line.startswith(f"thread {thread},")] for name, entry in seen.items()
    }
    return {name: replace(seen[name], seen=lines) for name, lines in kept.items() if lines}


def file_of(seen: Mapping[str, CauseSeen]) -> str:
    """The file, causes in alphabetical order, so that a diff shows the case that came."""
    return to_yaml([seen[name] for name in sorted(seen)])


def shifts(causes: Mapping[str, Cause], seen: Mapping[str, CauseSeen]) -> Sequence[Shift]:
    """Every cause with cases, what the pack says of it and what it is now; `causes` with the pack's own priors."""
    now = with_seen(causes, seen)
    return [
        Shift(name, causes[name].label, tuple(entry.seen), causes[name].prior, now[name].prior)
        for name, entry in sorted(seen.items())
        if name in causes
    ]

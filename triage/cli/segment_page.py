"""A programme on the terminal: what is on and why, what could be added, what is left out."""

from __future__ import annotations

from collections.abc import Iterator

from triage.cli.common import counted
from triage.segment.programme import LeftOut, Programme, Slot


def show(programme: Programme, every: bool) -> None:
    """Print a programme: what is on and why, what could be added, and what is left out."""
    used = sum(slot.minutes for slot in programme.slots)
    aired = ", was on air" if programme.aired else ""
    day = f"{programme.day:%A} {programme.day.day} {programme.day:%B %Y}"
    time = f"{used:.1f} of {programme.minutes:g} minutes, {programme.reserve:g} kept for live questions"
    print(f"{day}: {counted(len(programme.slots), 'question')}, {time}{aired}\n")
    for slot in programme.slots:
        print("\n".join(_slot_lines(slot)))
    if programme.note:
        print(f"\n{programme.note}")
    if programme.tip:
        print(f"\nSafety tip ({programme.tip.id}): {programme.tip.text}")
    spares = [left for left in programme.left_out if left.spare]
    others = [left for left in programme.left_out if not left.spare]
    for left in spares:
        print("\n".join(_left_lines(left, "spare")))
    for left in others if every else ():
        print("\n".join(_left_lines(left, "out")))
    if others and not every:
        print(f"\n{counted(len(others), 'question')} left out; --all says why.")


def _slot_lines(slot: Slot) -> Iterator[str]:
    lock = " (locked)" if slot.locked else ""
    yield f"{slot.place:3}. thread {slot.candidate.thread}, {slot.minutes:.1f} min{lock}: {slot.candidate.question}"
    yield f"     {slot.reason}"


def _left_lines(left: LeftOut, mark: str) -> Iterator[str]:
    yield f"\n{mark}: thread {left.candidate.thread}, {left.candidate.minutes:.1f} min: {left.candidate.question}"
    yield f"     {left.reason}"

"""The states of a thread in plain words, and the one table of allowed moves."""

from __future__ import annotations

from enum import StrEnum


class ThreadState(StrEnum):
    """Where a thread stands; `label` is what a person reads."""

    NEW = "new"  # something arrived that nobody has dealt with
    READY = "ready"  # a draft was saved; look and send
    WAITING_FOR_ASKER = "waiting_for_asker"  # we asked back
    REPLIED = "replied"  # answered; we do not know yet whether it helped
    SETTLED = "settled"  # done
    SET_ASIDE = "set_aside"  # not ours to answer, or not now
    AUTOMATIC = "automatic"  # only automatic mail in it

    @property
    def label(self) -> str:
        """The state as a person reads it."""
        return _LABELS[self]


_LABELS = {
    ThreadState.NEW: "new",
    ThreadState.READY: "ready to reply",
    ThreadState.WAITING_FOR_ASKER: "waiting for the asker's facts",
    ThreadState.REPLIED: "replied",
    ThreadState.SETTLED: "settled",
    ThreadState.SET_ASIDE: "set aside",
    ThreadState.AUTOMATIC: "automatic mail",
}

OPEN = (ThreadState.NEW, ThreadState.READY, ThreadState.WAITING_FOR_ASKER)
EVERY = tuple(ThreadState)

MOVES: dict[ThreadState, frozenset[ThreadState]] = {
    ThreadState.NEW: frozenset({
        ThreadState.READY, ThreadState.WAITING_FOR_ASKER, ThreadState.REPLIED,
        ThreadState.SETTLED, ThreadState.SET_ASIDE,
    }),
    ThreadState.READY: frozenset({
        ThreadState.NEW, ThreadState.WAITING_FOR_ASKER, ThreadState.REPLIED,
        ThreadState.SETTLED, ThreadState.SET_ASIDE,
    }),
    ThreadState.WAITING_FOR_ASKER: frozenset({
        ThreadState.NEW, ThreadState.READY, ThreadState.REPLIED,
        ThreadState.SETTLED, ThreadState.SET_ASIDE,
    }),
    ThreadState.REPLIED: frozenset({
        ThreadState.NEW, ThreadState.READY, ThreadState.WAITING_FOR_ASKER,
        ThreadState.SETTLED, ThreadState.SET_ASIDE,
    }),
    ThreadState.SETTLED: frozenset({ThreadState.NEW}),
    ThreadState.SET_ASIDE: frozenset({ThreadState.NEW}),
    ThreadState.AUTOMATIC: frozenset({ThreadState.NEW, ThreadState.SET_ASIDE}),
}  # fmt: skip


def may_move(state: ThreadState, to: ThreadState) -> bool:
    """True when the table allows the move; staying where one is always is."""
    return state == to or to in MOVES[state]

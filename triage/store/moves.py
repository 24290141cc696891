"""Moving a thread from state to state, and taking the last move back."""

from __future__ import annotations

import json
from dataclasses import dataclass

from triage.store.change import Change
from triage.store.errors import MoveRefused, NotFound, StoreError
from triage.store.states import MOVES, ThreadState, may_move
from triage.store.values import What

NEXT_IS_OURS = frozenset({ThreadState.NEW, ThreadState.READY})


@dataclass(frozen=True, slots=True)
class Standing:
    """A thread's state, and since when its next step is waited for (UTC text)."""

    state: ThreadState
    since: str

    def as_json(self) -> dict[str, object]:
        """As history keeps it."""
        return {"state": self.state.value, "waiting_since": self.since}


def standing(change: Change, thread: int) -> Standing:
    """Where the thread stands now."""
    row = change.db.execute("select state, waiting_since from threads where id = ?", [thread]).fetchone()
    if row is None:
        raise NotFound(f"There is no thread {thread}.")
    return Standing(ThreadState(row[0]), row[1])


def move(change: Change, thread: int, to: ThreadState, *, why: str = "", since: str = "") -> bool:
    """Move the thread and say so in its history; False, and nothing written, where it already is there.

    `since` is when the asker began to wait, where that is not now. Raises MoveRefused.
    """
    now = standing(change, thread)
    if now.state == to:
        return False
    _check(thread, now.state, to)
    then = Standing(to, _since(now, to, since or change.at))
    _place(change, thread, then)
    after = then.as_json() | ({"why": why} if why else {})
    change.record(thread, What.STATE, before=now.as_json(), after=after)
    return True


def _since(now: Standing, to: ThreadState, since: str) -> str:
    """An asker who waits already has waited since the earlier moment."""
    return min(now.since, since) if {now.state, to} <= NEXT_IS_OURS else since


def _check(thread: int, state: ThreadState, to: ThreadState) -> None:
    if not may_move(state, to):
        allowed = ", ".join(s.label for s in ThreadState if s in MOVES[state])
        raise MoveRefused(
            f"Thread {thread} is {state.label}: it cannot become {to.label}. From here: {allowed}. Reopen it first."
        )


def undo(change: Change, thread: int) -> ThreadState:
    """Take the last move back that was not taken back yet; return the state it had before.

    Only the state and the waiting time go back: what was sent, noted or read stays, and history keeps both.
    """
    row = change.db.execute(
        """select id, before from history h where thread = ? and what = ?
           and not exists (select 1 from history u where u.undoes = h.id) order by id desc limit 1""",
        [thread, What.STATE.value],
    ).fetchone()
    if row is None:
        raise StoreError(f"Thread {thread} has no change of state to take back.")
    before = json.loads(row[1])
    earlier, now = Standing(ThreadState(before["state"]), before["waiting_since"]), standing(change, thread)
    _place(change, thread, earlier)
    change.record(thread, What.UNDO, before=now.as_json(), after=earlier.as_json(), undoes=row[0])
    return earlier.state


def _place(change: Change, thread: int, place: Standing) -> None:
    change.update_thread(thread, {"state": place.state.value, "waiting_since": place.since})

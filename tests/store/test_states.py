"""The states of a thread: which moves are allowed, and that each one leaves its mark."""

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import settings
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from triage.model import Draft, Sentence
from triage.store import EVERY, MOVES, MoveRefused, Store, StoreError, ThreadState, What
from triage.store.states import may_move

from .looking import assert_whole
from .mails import START, Clock, mail

DRAFT = Draft("Re: Cart clicks", (Sentence("Check the pack.", "answer:pack"),))
N, R, W, P, S, A, M = (
    ThreadState.NEW, ThreadState.READY, ThreadState.WAITING_FOR_ASKER, ThreadState.REPLIED,
    ThreadState.SETTLED, ThreadState.SET_ASIDE, ThreadState.AUTOMATIC,
)  # fmt: skip

ACTIONS: dict[str, tuple[Callable[[Store], object], ThreadState]] = {
    "draft": (lambda s: s.save_draft(1, DRAFT, by="Wyn"), R),
    "ask": (lambda s: s.record_reply(1, "Which year?", by="Wyn", asks=True), W),
    "reply": (lambda s: s.record_reply(1, "Check the pack.", by="Wyn"), P),
    "settle": (lambda s: s.settle(1, by="Wyn", outcome="new cable"), S),
    "set aside": (lambda s: s.set_aside(1, by="Wyn", why="not ours"), A),
    "reopen": (lambda s: s.reopen(1, by="Wyn"), N),
}
WAY: dict[ThreadState, str] = {R: "draft", W: "ask", P: "reply", S: "settle", A: "set aside"}


def in_state(store: Store, state: ThreadState) -> None:
    store.take_in(mail(automatic="list mail" if state == M else ""), by="intake")
    if state in WAY:
        ACTIONS[WAY[state]][0](store)
    assert store.thread(1).state == state


@pytest.mark.parametrize("action", ACTIONS)
@pytest.mark.parametrize("state", EVERY, ids=lambda s: s.value)
def test_an_action_moves_the_thread_or_is_refused_and_leaves_nothing(
    store: Store, state: ThreadState, action: str
) -> None:
    in_state(store, state)
    act, to = ACTIONS[action]
    before = (store.thread(1), store.history(1))
    if may_move(state, to):
        act(store)
        assert store.thread(1).state == to
    else:
        with pytest.raises(MoveRefused, match=state.label):
            act(store)
        assert (store.thread(1), store.history(1)) == before


@pytest.mark.parametrize("state", EVERY, ids=lambda s: s.value)
def test_a_new_message_of_the_asker_brings_the_thread_back_to_new(store: Store, state: ThreadState) -> None:
    in_state(store, state)
    store.take_in(mail("m2@mail.example", "still dead", refs=("m1@mail.example",), hours=5), by="intake")
    assert store.thread(1).state == N


def test_an_automatic_answer_does_not_bring_a_thread_back(store: Store) -> None:
    in_state(store, P)
    away = mail("m2@mail.example", "I am away", refs=("m1@mail.example",), automatic="auto-replied")
    store.take_in(away, by="intake")
    assert store.thread(1).state == P


def test_waiting_counts_from_the_oldest_message_not_answered(store: Store) -> None:
    store.take_in(mail(), by="intake")
    store.take_in(mail("m2@mail.example", "hello?", refs=("m1@mail.example",), hours=5), by="intake")
    store.save_draft(1, DRAFT, by="Wyn")
    assert store.thread(1).waiting_since == START
    store.record_reply(1, "Check the pack.", by="Wyn")
    again = mail("m3@mail.example", "did not help", refs=("m1@mail.example",), hours=7)
    store.take_in(again, by="intake")
    assert store.thread(1).waiting_since == again.sent


def test_a_refused_reply_in_a_batch_leaves_nothing_of_itself(store: Store) -> None:
    in_state(store, S)
    with store.batch():
        with pytest.raises(MoveRefused):
            store.record_reply(1, "Check the pack.", by="Wyn", message_id="ours@harrowlane.example")
        store.note(1, "kept", by="Wyn")
    assert store.thread(1).replies == ()
    assert [entry.what for entry in store.history(1)] == [What.ARRIVED, What.STATE, What.NOTE]


def test_settling_twice_says_so_once(store: Store) -> None:
    in_state(store, S)
    before = store.history(1)
    store.settle(1, by="Odd", outcome="other")
    assert (store.history(1), store.thread(1).outcome) == (before, "new cable")


def test_an_outcome_is_shown_only_while_the_thread_is_settled(store: Store) -> None:
    in_state(store, S)
    store.reopen(1, by="Wyn")
    assert store.thread(1).outcome == ""
    store.undo(1, by="Wyn")
    assert store.thread(1).outcome == "new cable"


def test_undo_takes_back_one_move_after_the_other(store: Store) -> None:
    store.take_in(mail(), by="intake")
    store.save_draft(1, DRAFT, by="Wyn")
    store.settle(1, by="Wyn")
    assert store.undo(1, by="Wyn") == R
    assert store.undo(1, by="Wyn") == N
    assert store.thread(1).waiting_since == START
    with pytest.raises(StoreError, match="no change of state"):
        store.undo(1, by="Wyn")
    assert [entry.what for entry in store.history(1)] == [
        What.ARRIVED, What.DRAFT, What.STATE, What.STATE, What.UNDO, What.UNDO,
    ]  # fmt: skip


def test_only_settled_set_aside_and_automatic_threads_need_reopening() -> None:
    assert {state for state, to in MOVES.items() if P not in to} == {P, S, A, M}
    assert all(N in to for state, to in MOVES.items() if state != N)
    assert set(MOVES) == set(ThreadState)


def test_the_label_is_what_a_person_reads() -> None:
    assert (W.label, R.label) == ("waiting for the asker's facts", "ready to reply")
    assert len({state.label for state in ThreadState}) == len(ThreadState)


class ThreadMachine(RuleBasedStateMachine):
    """Any order of actions on one thread against a model: the state, and the pile of states before it."""

    @initialize()
    def open(self) -> None:
        self.folder = TemporaryDirectory()
        self.path = Path(self.folder.name) / "queue.db"
        self.store = Store.open(self.path, now=Clock())
        self.store.take_in(mail(), by="intake")
        self.state, self.pile, self.mails = N, list[ThreadState](), 1

    def act(self, name: str) -> None:
        act, to = ACTIONS[name]
        if may_move(self.state, to):
            act(self.store)
            self.reach(to)
        else:
            with pytest.raises(MoveRefused):
                act(self.store)

    def reach(self, to: ThreadState) -> None:
        if to != self.state:
            self.pile.append(self.state)
            self.state = to

    @rule()
    def draft(self) -> None:
        self.act("draft")

    @rule()
    def ask(self) -> None:
        self.act("ask")

    @rule()
    def reply(self) -> None:
        self.act("reply")

    @rule()
    def settle(self) -> None:
        self.act("settle")

    @rule()
    def set_aside(self) -> None:
        self.act("set aside")

    @rule()
    def reopen(self) -> None:
        self.act("reopen")

    @rule()
    def message(self) -> None:
        self.mails += 1
        id = f"m{self.mails}@mail.example"
        self.store.take_in(mail(id, id, refs=("m1@mail.example",), hours=self.mails), by="intake")
        self.reach(N)

    @precondition(lambda self: self.pile)
    @rule()
    def undo(self) -> None:
        self.state = self.pile.pop()
        assert self.store.undo(1, by="Wyn") == self.state

    @precondition(lambda self: not self.pile)
    @rule()
    def nothing_to_undo(self) -> None:
        with pytest.raises(StoreError):
            self.store.undo(1, by="Wyn")

    @rule()
    def close_and_open(self) -> None:
        self.store.close()
        self.store = Store.open(self.path, now=Clock(), create=False)

    @invariant()
    def the_store_agrees(self) -> None:
        if hasattr(self, "store"):
            assert self.store.counts()[self.state] == 1
            moved = [e for e in self.store.history(1) if e.what in (What.STATE, What.UNDO)]
            assert not moved or moved[-1].after["state"] == self.state

    def teardown(self) -> None:
        if hasattr(self, "store"):
            self.store.close()
            assert_whole(self.path)
            self.folder.cleanup()


ThreadMachine.TestCase.settings = settings(max_examples=25, stateful_step_count=20, deadline=None)
TestThreadMachine = ThreadMachine.TestCase

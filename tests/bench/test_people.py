"""Several people: who is at what, notes, moves, and taking back."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from triage.bench.question import next_in_line
from triage.store import StoreError, ThreadState, What

from .forms import letter, post
from .post import NOW

LARK, SMOKE, TYRES = 1, 2, 3


def test_who_opens_a_question_is_at_it(client, store):
    client.get(f"/question/{LARK}")
    assert store.together.claims()[LARK].person == "Wyn"
    assert "Wyn is at it" in client.get("/waiting/rows").text


def test_a_second_person_reads_along_and_may_take_over(client, store):
    store.together.claim(LARK, by="Bram")
    assert "Bram is at this question" in client.get(f"/question/{LARK}").text
    assert store.together.claims()[LARK].person == "Bram"
    post(client, f"/question/{LARK}/mine", {})
    assert store.together.claims()[LARK].person == "Wyn"


def test_a_claim_ends_when_nothing_is_heard(office, store):
    store.together.claim(LARK, by="Bram")
    later = replace(office, now=lambda: NOW + timedelta(minutes=6))
    with later.store() as then:
        assert not then.together.claims()
        assert then.together.claim(LARK, by="Wyn").person == "Wyn"


def test_a_sign_of_life_says_what_others_did_meanwhile(client, store):
    shown = client.get(f"/question/{LARK}/here?draft=1&replies=0").text
    assert shown.strip() == ""
    store.save_draft(LARK, store.thread(LARK).drafts[-1].draft, by="Bram")
    store.record_reply(LARK, "Done.", by="Bram")
    shown = client.get(f"/question/{LARK}/here?draft=1&replies=0").text
    assert "Bram has kept a newer reply (version 2)" in shown
    assert "Bram has replied meanwhile" in shown


def test_the_next_in_line_is_nobodys_yet(store):
    first, second, third = (row.thread for row in store.queue()[:3])
    assert next_in_line(store, first, "Wyn") == second
    store.together.claim(second, by="Bram")
    assert next_in_line(store, first, "Wyn") == third
    assert next_in_line(store, first, "Bram") == second


def test_a_reply_gone_out_frees_the_question(client, store):
    client.get(f"/question/{TYRES}")
    post(client, f"/question/{TYRES}/reply/gone", letter(store, TYRES), how="mail")
    assert TYRES not in store.together.claims()


def test_a_note_is_in_the_history(client, store):
    post(client, f"/question/{LARK}/note", {"note": "Rings back on Friday."})
    assert "Rings back on Friday." in client.get(f"/question/{LARK}").text


@pytest.mark.parametrize(
    ("to", "state"), [("settled", ThreadState.SETTLED), ("set_aside", ThreadState.SET_ASIDE), ("new", ThreadState.NEW)]
)
def test_threads_are_moved(client, store, to, state):
    post(client, f"/question/{LARK}/move", {"to": to, "why": "it was the fuse"})
    assert store.thread(LARK).state is state


def test_a_move_that_is_not_allowed_is_explained(client, store):
    store.settle(LARK, by="Bram")
    answer = post(client, f"/question/{LARK}/move", {"to": "set_aside"})
    assert answer.status_code == 409
    assert "Reopen it first" in answer.text


def test_taking_back_goes_step_by_step_through_what_a_person_did(client, store):
    first = store.thread(LARK).drafts[0].draft.body
    post(client, f"/question/{LARK}/reply/keep", letter(store, LARK, b0="Hello!"))
    post(client, f"/question/{LARK}/undo", {})
    assert store.thread(LARK).drafts[-1].draft.body == first


def test_a_fact_set_is_taken_back(client, store):
    post(client, f"/question/{LARK}/fact", {"how": "is", "name": "year", "value": "2013", "vehicle": "1"})
    assert store.thread(LARK).facts
    post(client, f"/question/{LARK}/undo", {})
    assert not store.thread(LARK).facts


def test_a_reply_recorded_by_mistake_is_open_again(client, store):
    post(client, f"/question/{TYRES}/reply/gone", letter(store, TYRES), how="mail")
    post(client, f"/question/{TYRES}/undo", {})
    assert store.thread(TYRES).state is ThreadState.READY
    assert store.thread(TYRES).replies, "what was recorded stays in the history"


def test_nothing_to_take_back_is_said(client):
    assert "Nothing was done here" in post(client, f"/question/{LARK}/undo", {}).text


def test_a_draft_over_anothers_is_refused_in_one_step(store):
    draft = store.thread(LARK).drafts[-1].draft
    store.together.save_draft(LARK, draft, base=1, by="Bram")
    with pytest.raises(StoreError, match="version 2"):
        store.together.save_draft(LARK, draft, base=1, by="Wyn")


def test_a_second_reply_names_the_first(store):
    store.record_reply(LARK, "Done.", by="Bram")
    with pytest.raises(StoreError, match="Bram has replied to thread 1"):
        store.together.record_reply(LARK, "Mine.", seen=0, by="Wyn", subject="", how="mail", asks=False)
    assert [entry.by for entry in store.history(LARK) if entry.what is What.REPLY] == ["Bram"]


def test_another_letting_go_does_not_end_a_claim(store):
    store.together.claim(LARK, by="Bram")
    store.together.leave(LARK, by="Wyn")
    assert store.together.claims()[LARK].person == "Bram"


def test_a_question_there_is_not_is_said_so(client):
    answer = client.get("/question/999")
    assert answer.status_code == 404
    assert "There is no thread 999" in answer.text


def test_who_goes_on_to_another_question_leaves_the_first(client, store):
    client.get(f"/question/{LARK}")
    client.get(f"/question/{TYRES}")
    assert set(store.together.claims()) == {TYRES}
    client.get("/")
    assert not store.together.claims()

"""What a person does to a reply, through the pages: kept, put in, anew, brought back, gone."""

from __future__ import annotations

from email import message_from_bytes
from email.policy import default as policy

import pytest

from triage.bench.redraft import built_on
from triage.bench.views.letter import blocks_of
from triage.desk import READER
from triage.store import Store, ThreadState, What

from .forms import letter, post

LARK, SMOKE, TYRES = 1, 2, 3


def test_what_is_kept_is_a_version_signed_by_its_writer(client, store):
    answer = post(client, f"/question/{LARK}/reply/keep", letter(store, LARK, more="See you on Friday."))
    latest = store.thread(LARK).drafts[-1]
    assert answer.status_code == 200
    assert (latest.version, latest.by) == (2, "Wyn")
    assert latest.draft.body.endswith("See you on Friday.")
    assert "See you on Friday." in answer.text


def test_keeping_what_is_unchanged_makes_no_version(client, store):
    post(client, f"/question/{LARK}/reply/keep", letter(store, LARK))
    assert len(store.thread(LARK).drafts) == 1


def test_without_scripts_keeping_leads_back_to_the_page(client, store):
    answer = post(client, f"/question/{LARK}/reply/keep", letter(store, LARK, more="Bye."), part=False)
    assert answer.status_code == 200
    assert answer.url.path == f"/question/{LARK}"


def note_block(store: Store, thread: int) -> str:
    blocks = blocks_of(store.thread(thread).drafts[-1].draft)
    return next(f"b{n}" for n, block in enumerate(blocks) if block.hazard)


def test_leaving_out_a_safety_note_needs_a_reason(client, store):
    data = letter(store, SMOKE, **{note_block(store, SMOKE): ""}, more="Typed beside it.")
    answer = post(client, f"/question/{SMOKE}/reply/keep", data)
    assert answer.status_code == 422
    assert "A safety note is gone" in answer.text
    assert "Typed beside it." in answer.text
    assert len(store.thread(SMOKE).drafts) == 1


def test_the_reason_for_leaving_out_a_note_is_kept_in_the_history(client, store):
    block = note_block(store, SMOKE)
    hazard = next(b.hazard for b in blocks_of(store.thread(SMOKE).drafts[-1].draft) if b.hazard)
    data = letter(store, SMOKE, **{block: ""})
    post(client, f"/question/{SMOKE}/reply/keep", data | {f"why-{hazard}": "told her by phone"})
    (entry,) = [e for e in store.history(SMOKE) if e.what is What.NOTE_DROPPED]
    assert (entry.by, entry.after) == ("Wyn", {"hazard": hazard, "why": "told her by phone"})
    assert len(store.thread(SMOKE).drafts) == 2


def test_a_reply_does_not_go_out_without_its_note_unasked(client, store):
    data = letter(store, SMOKE, **{note_block(store, SMOKE): ""})
    assert post(client, f"/question/{SMOKE}/reply/gone", data, how="mail").status_code == 422
    assert not store.thread(SMOKE).replies


def test_a_reworded_note_goes_without_asking(client, store):
    data = letter(store, SMOKE, **{note_block(store, SMOKE): "Out, now, everybody."})
    assert post(client, f"/question/{SMOKE}/reply/keep", data).status_code == 200


def test_putting_a_note_back_after_leaving_it_out(client, store):
    block, hazard = (
        note_block(store, SMOKE),
        next(b.hazard for b in blocks_of(store.thread(SMOKE).drafts[-1].draft) if b.hazard),
    )
    data = letter(store, SMOKE, **{block: ""})
    answer = post(client, f"/question/{SMOKE}/reply/put", data, put=f"note:{hazard}")
    assert answer.status_code == 200
    assert any(b.hazard == hazard for b in blocks_of(store.thread(SMOKE).drafts[-1].draft))


def test_a_check_put_in_brings_its_hazards_notes(client, store, office):
    check = next(c for c in office.stages.pack.checks.values() if c.hazards and c.powertrain == "electric")
    post(client, f"/question/{TYRES}/reply/put", letter(store, TYRES), put=f"check:{check.id}")
    sources = {s.source for s in store.thread(TYRES).drafts[-1].draft.sentences}
    assert {f"check:{check.id}", *(f"hazard:{hazard}" for hazard in check.hazards)} <= sources


def test_a_question_put_in_asks_for_the_fact(client, store, office):
    post(client, f"/question/{TYRES}/reply/put", letter(store, TYRES), put="question:year")
    assert office.stages.pack.facts["year"].ask in store.thread(TYRES).drafts[-1].draft.body


def test_what_is_typed_stays_when_something_is_put_in(client, store):
    post(client, f"/question/{TYRES}/reply/put", letter(store, TYRES, more="My own words."), put="question:serial")
    assert "My own words." in store.thread(TYRES).drafts[-1].draft.body


def test_another_answer_is_chosen_and_the_draft_follows_with_its_hazards(client, store, office):
    answer = next(a for a in office.stages.pack.answers if a.id == "battery-watering")
    post(client, f"/question/{LARK}/reply/anew", letter(store, LARK, more="Mine."), answer=f"0:{answer.id}")
    latest, kept, _ = reversed(store.thread(LARK).drafts)
    sources = {s.source for s in latest.draft.sentences}
    assert f"answer:{answer.id}" in sources
    assert any(s.startswith("hazard:") for s in sources)
    assert "Mine." in kept.draft.body, "what was typed stays as a version"


@pytest.mark.parametrize(
    ("manner", "holds"),
    [
        pytest.param({"style": "chat"}, lambda body, full: len(body) < len(full), id="chat"),
        pytest.param({"style": "aloud"}, lambda body, full: "- " not in body, id="aloud"),
        pytest.param({"length": "short"}, lambda body, full: len(body) < len(full), id="short"),
        pytest.param({"spelling": "american"}, lambda body, full: "tyre" not in body.lower(), id="american"),
    ],
)
def test_the_reply_is_worded_another_way(client, store, manner, holds):
    full = store.thread(TYRES).drafts[-1].draft.body
    assert "tyre" in full.lower()
    post(client, f"/question/{TYRES}/reply/anew", letter(store, TYRES), **manner)
    body = store.thread(TYRES).drafts[-1].draft.body
    assert holds(body, full)


def test_short_leaves_no_danger_out(client, store):
    before = {s.source for s in store.thread(SMOKE).drafts[-1].draft.sentences if s.source.startswith("hazard:")}
    post(client, f"/question/{SMOKE}/reply/anew", letter(store, SMOKE), length="short")
    after = {s.source for s in store.thread(SMOKE).drafts[-1].draft.sentences}
    assert before
    assert before <= after


def test_an_earlier_version_comes_back_as_the_latest(client, store):
    first = store.thread(LARK).drafts[0].draft.body
    post(client, f"/question/{LARK}/reply/keep", letter(store, LARK, b0="Hello!"))
    post(client, f"/question/{LARK}/reply/back", letter(store, LARK), version="1")
    assert [draft.version for draft in store.thread(LARK).drafts] == [1, 2, 3]
    assert store.thread(LARK).drafts[-1].draft.body == first


def test_a_colleagues_newer_version_is_not_written_over(client, store):
    mine = letter(store, LARK, more="Mine.")
    store.save_draft(LARK, store.thread(LARK).drafts[-1].draft, by="Bram")
    answer = post(client, f"/question/{LARK}/reply/keep", mine)
    assert answer.status_code == 409
    assert "Two people wrote this reply" in answer.text
    assert store.thread(LARK).drafts[-1].by == "Bram"
    (entry,) = [e for e in store.history(LARK) if e.what is What.KEPT_APART]
    assert "Mine." in str(entry.after["text"])


def test_it_went_out_and_the_next_in_line_is_opened(client, store):
    answer = post(client, f"/question/{TYRES}/reply/gone", letter(store, TYRES, more="Bye."), how="phone")
    thread = store.thread(TYRES)
    assert answer.headers["HX-Redirect"].startswith("/question/")
    assert (thread.replies[0].how, thread.replies[0].by) == ("phone", "Wyn")
    assert "Bye." in thread.replies[0].text


def test_a_reply_that_asks_waits_for_the_asker(client, store):
    post(client, f"/question/{TYRES}/reply/put", letter(store, TYRES), put="question:serial")
    post(client, f"/question/{TYRES}/reply/gone", letter(store, TYRES), how="mail")
    assert store.thread(TYRES).state is ThreadState.WAITING_FOR_ASKER


def test_no_second_reply_by_accident(client, store):
    first = letter(store, TYRES)
    post(client, f"/question/{TYRES}/reply/gone", first, how="mail")
    answer = post(client, f"/question/{TYRES}/reply/gone", first, how="mail")
    assert answer.status_code == 409
    assert "has replied" in answer.text
    assert len(store.thread(TYRES).replies) == 1


def test_the_mail_to_save_is_addressed_and_threaded(client, store):
    answer = client.get(f"/question/{LARK}/reply.eml")
    made = message_from_bytes(answer.content, policy=policy)
    assert answer.headers["content-disposition"] == f'attachment; filename="reply-{LARK}.eml"'
    assert made["To"].addresses[0].addr_spec == "ida@mail.example"
    assert made["In-Reply-To"] == "<m1@mail.example>"


@pytest.mark.parametrize(
    ("path", "more"),
    [
        pytest.param("put", {"put": "check:no-such-check"}, id="unknown-check"),
        pytest.param("put", {"put": "spell:frog"}, id="unknown-kind"),
        pytest.param("anew", {"answer": "0:no-such-answer"}, id="unknown-answer"),
        pytest.param("keep", {"base": "99"}, id="version-to-come"),
        pytest.param("keep", {"base": "-1"}, id="negative"),
        pytest.param("keep", {"base": "x" * 400}, id="no-number"),
        pytest.param("keep", {"source": ["one"]}, id="pieces-missing"),
        pytest.param("gone", {"replies": "many"}, id="no-count"),
    ],
)
def test_forms_that_do_not_fit_change_nothing_and_say_so(client, store, path, more):
    before = store.thread(LARK)
    answer = post(client, f"/question/{LARK}/reply/{path}", letter(store, LARK), **more)
    assert answer.status_code == 422
    assert answer.headers["HX-Retarget"] == "#trouble"
    assert (store.thread(LARK).drafts, store.thread(LARK).replies) == (before.drafts, before.replies)


def test_the_programs_newer_draft_does_not_hide_what_a_person_wrote(client, store):
    post(client, f"/question/{LARK}/reply/keep", letter(store, LARK, more="Mine."))
    store.save_draft(LARK, store.thread(LARK).drafts[0].draft, by=READER)
    page = client.get(f"/question/{LARK}").text
    assert "Yours is kept as version 2" in page


def test_an_answer_is_chosen_for_one_of_two_questions_and_the_other_keeps_its_own(client, store):
    two = 8
    given = built_on(store.thread(two), store.thread(two).drafts[-1].draft)
    assert given.keys() == {0}, "the first is answered, the second is not"
    post(client, f"/question/{two}/reply/anew", letter(store, two), answer="1:speed-bigger-tyres")
    now = built_on(store.thread(two), store.thread(two).drafts[-1].draft)
    assert now == given | {1: "speed-bigger-tyres"}
    post(client, f"/question/{two}/reply/anew", letter(store, two), style="mail")
    assert built_on(store.thread(two), store.thread(two).drafts[-1].draft) == now

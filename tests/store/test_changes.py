"""What a person changed in a draft before it went out is kept, sentence by sentence."""

from __future__ import annotations

import json

import pytest

from triage.model import Draft, Sentence
from triage.store import Store, What, export_lines
from triage.store.difference import changes

from .mails import mail

DRAFT = "Hello.\n\nCharge it first. Then measure.\n\n- If it reads 48 V: fine.\n\nKind regards"


@pytest.mark.parametrize(
    ("sent", "changed"),
    [
        pytest.param(DRAFT, [], id="as-it-was"),
        pytest.param("Hello.\n\nCharge it first. Then\nmeasure.\n\n* If it reads\n48 V: fine.\n\nKind regards", [],
                     id="only-wrapped-anew"),
        pytest.param(DRAFT.replace("first", "overnight"), ["-Charge it first.", "+Charge it overnight."], id="a-word"),
        pytest.param(DRAFT.replace(" Then measure.", ""), ["-Then measure."], id="left-out"),
        pytest.param(DRAFT + "\n\nRing me.", ["+Ring me."], id="added"),
    ],
)  # fmt: skip
def test_a_change_is_told_by_sentence(sent: str, changed: list[str]) -> None:
    lines = changes(DRAFT, sent, "draft 1", "sent").splitlines()
    assert [line for line in lines[2:] if line[0] in "+-"] == changed
    assert lines[:2] == (["--- draft 1", "+++ sent"] if changed else [])


@pytest.fixture
def drafted(store: Store) -> Store:
    store.take_in(mail(), by="intake")
    for words in ("Charge it.", "Which year is it?"):
        sentences = (Sentence("Hello.", "wording:greeting"), Sentence(words, "answer:a"))
        store.save_draft(1, Draft("Re: x", sentences), by="program")
    return store


@pytest.mark.parametrize(
    ("sent", "version", "changed"),
    [
        pytest.param("Hello. Which year is it?", 2, "", id="the-latest-unchanged"),
        pytest.param("Hello. Charge it. Ring us.", 1, "+Ring us.", id="the-draft-it-was-made-from"),
        pytest.param("Something else.", 2, "+Something else.", id="of-equals-the-latest"),
    ],
)
def test_a_reply_keeps_its_draft_and_the_change(drafted: Store, sent: str, version: int, changed: str) -> None:
    drafted.record_reply(1, sent, by="Wyn")
    (reply,) = drafted.thread(1).replies
    assert reply.draft == version
    assert changed in reply.changed.splitlines() if changed else reply.changed == ""
    entry = next(e for e in drafted.history(1) if e.what is What.REPLY)
    assert (entry.after["draft"], entry.after.get("changed", "")) == (version, reply.changed)


def test_the_export_carries_it(drafted: Store) -> None:
    drafted.record_reply(1, "Hello. Charge it. Ring us.", by="Wyn")
    (line,) = map(json.loads, export_lines(drafted))
    assert line["replies"][0]["draft"] == 1 and "+Ring us." in line["replies"][0]["changed"]


def test_without_a_draft_there_is_nothing_to_compare(store: Store) -> None:
    store.take_in(mail(), by="intake")
    store.record_reply(1, "Charge it.", by="Wyn")
    assert [(reply.draft, reply.changed) for reply in store.thread(1).replies] == [(0, "")]

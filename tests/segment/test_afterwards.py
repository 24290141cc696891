"""What follows from an hour: drafts, carry-over, material, digest; nobody is named."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from triage.language.private import Particulars
from triage.model import Draft, Sentence
from triage.segment.afterwards import Written, carried_over, material, reply_draft, written
from triage.segment.digest import as_html, as_markdown, digest_of
from triage.segment.programme import Candidate, Essentials, LeftOut, Missing, Programme, Said, Slot, Spoken, Tip

DAY = date(2026, 11, 26)
PEOPLE = Particulars.of(names=["Ida Fen"], keep=["Tarvik", "Lark"])
DRAFT = Draft(
    "Re: Lark",
    (
        Sentence("Hello Ida,", "wording:greeting_named", 0),
        Sentence("First, for safety:", "wording:safety_intro", 1),
        Sentence("WARNING: Rings off.", "hazard:short_circuit", 1),
        Sentence("Ida, measure the pack.", "answer:pack", 2),
        Sentence("It rests at 38.2 V.", "answer:pack", 2),
        Sentence("- If it reads less: charge it.", "answer:pack", 3, True),
        Sentence("Kind regards,", "wording:sign_off", 4),
    ),
)
GAP = Missing("year", "year", "not told: the year", "Which year is it?")
QUESTION = Candidate(
    7,
    "{who} has a <b>Lark</b>; ring 555-0142.",
    asker="Ida",
    agreed=True,
    essentials=Essentials(answer=("Measure the pack.",), missing=(GAP,)),
)


def phrase(key: str, **names: str) -> str:
    return f"({key} {' '.join(names.values())})".replace(" )", ")")


def programme(*more: Candidate) -> Programme:
    slots = tuple(Slot(one, place, 2.0) for place, one in enumerate((QUESTION, *more), start=1))
    spare = LeftOut(Candidate(99, "spare"), "no room", spare=True)
    return Programme(DAY, 30, 4, slots, (spare,), tip=Tip("t", "Mind the acid.", "common practice, no source"))


def said(how: Spoken = Spoken.SAID, note: str = "", thread: int = 7) -> Said:
    return Said(DAY, thread, how, note, by="Wyn")


def body(how: Spoken, note: str = "") -> list[str]:
    made = reply_draft(DRAFT, QUESTION, said(how, note), phrase, segment="The Hour", day="26 November 2026")
    return [sentence.text for sentence in made.sentences]


def writing(candidate: Candidate) -> Written:
    return written(DRAFT, candidate, PEOPLE)


def test_what_was_said_goes_out_in_writing_with_a_question_for_the_gap():
    texts = body(Spoken.SAID)
    assert texts[:2] == ["Hello Ida,", "(hour_after_said The Hour 26 November 2026)"]
    assert "It rests at 38.2 V." in texts
    assert texts[-2:] == ["- Which year is it?", "Kind regards,"]


def test_a_question_that_the_draft_asks_under_another_name_is_not_asked_twice():
    asking = Sentence("- Which year is it?", "conflict:year_and_model", 3, True)
    draft = replace(DRAFT, sentences=(*DRAFT.sentences[:-1], asking, DRAFT.sentences[-1]))
    made = reply_draft(draft, QUESTION, said(), phrase, segment="The Hour", day="26 November 2026")
    assert [one.text for one in made.sentences].count("- Which year is it?") == 1


def test_what_was_said_otherwise_takes_the_place_of_the_answer_and_the_safety_note_stays():
    texts = body(Spoken.CHANGED, "Look at the fuse first. Then write to us.")
    assert "It rests at 38.2 V." not in texts
    assert texts.index("WARNING: Rings off.") < texts.index("Look at the fuse first.")


def test_said_otherwise_without_words_keeps_the_answer():
    assert "It rests at 38.2 V." in body(Spoken.CHANGED)


@pytest.mark.parametrize(("note", "asks"), [("How old is it?", "How old is it?"), ("", "- Which year is it?")])
def test_who_was_asked_back_gets_the_question_and_no_answer(note, asks):
    texts = body(Spoken.ASKED_BACK, note)
    assert asks in texts
    assert "It rests at 38.2 V." not in texts


def test_paragraphs_stay_apart():
    made = reply_draft(DRAFT, QUESTION, said(), phrase, segment="The Hour", day="26 November 2026")
    assert [one.paragraph for one in made.sentences] == sorted(one.paragraph for one in made.sentences)
    assert "\n\n- If it reads less" in made.body


def test_put_off_and_not_reached_are_carried_over():
    other, third = Candidate(8, "a"), Candidate(9, "b")
    notes = [said(), said(Spoken.POSTPONED, "no time", thread=8)]
    assert [(one.thread, one.note) for one in carried_over(programme(other, third), notes)] == [(8, "no time"), (9, "")]


def test_an_hour_without_a_note_carries_nothing_over():
    assert carried_over(programme(), []) == ()


def test_material_is_the_written_answer_without_particulars():
    (one,) = material(programme(), [said(Spoken.CHANGED, "Ring Ida Fen on 555 0142.")], writing)
    assert one.said == ("a reader, measure the pack. It rests at 38.2 V.", "If it reads less: charge it.")
    assert "Ida" not in one.question + one.changed
    assert "0142" not in one.question + one.changed
    assert one.as_json()["how"] == "changed"


def test_what_was_only_asked_back_tells_no_answer():
    (one,) = material(programme(), [said(Spoken.ASKED_BACK)], writing)
    assert one.said == ()


def test_the_digest_names_nobody_even_who_agreed_and_lets_nothing_mark_it_up():
    made = digest_of(programme(), [said()], writing, "The Hour", "Intro.")
    for text in (as_markdown(made), as_html(made)):
        assert "Ida" not in text
        assert "0142" not in text
        assert "<b>" not in text.replace("\\<b\\>", "")
        assert "38.2 V" in text
        assert "Mind the acid." in text


def test_the_digest_leaves_out_what_was_not_answered():
    assert digest_of(programme(), [said(Spoken.POSTPONED)], writing, "t", "i").entries == ()
    assert digest_of(programme(), [said(Spoken.ASKED_BACK, "x")], writing, "t", "i").entries == ()

"""Marks stand where the words stand; every letter of the asker's is there once, in order."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.bench.views.words import marked
from triage.model import Conflict, Fact, HazardNote, Reading, Signal, Span, Standing
from triage.pack import Pack
from triage.pack.schema import Shop

PACK = Pack(Path(), Shop(name="Harrow Lane Cart Works", mail="workshop@harrowlane.example"))
TEXT = "My 2012 Lark, maybe 48 V, not lifted.\n\nIt smokes."


def fact(name: str, words: str, standing: Standing = Standing.STATED, **more: object) -> Fact:
    start = TEXT.index(words)
    return Fact(name, words, standing=standing, span=Span(start, start + len(words)), **more)  # type: ignore[arg-type]


YEAR = fact("year", "2012")
VOLTS = fact("pack_voltage", "48 V", Standing.HEDGED)
LIFT = fact("lift", "lifted", Standing.DENIED)
SMOKE = HazardNote("smoke", Signal.DANGER, "Get out.", urgent=True, span=Span(TEXT.index("smokes"), len(TEXT) - 1))


def pieces(*facts: Fact, hazards: tuple[HazardNote, ...] = (), conflicts: tuple[Conflict, ...] = ()):
    reading = Reading("q", facts, hazards=hazards, conflicts=conflicts)
    return [piece for paragraph in marked(TEXT, [(reading, 0)], PACK) for piece in paragraph.pieces]


@pytest.mark.parametrize(
    ("one", "words", "kind", "word"),
    [
        pytest.param(YEAR, "2012", "stated", "", id="stated"),
        pytest.param(VOLTS, "48 V", "hedged", "unsure", id="hedged"),
        pytest.param(LIFT, "lifted", "denied", "not so", id="denied"),
        pytest.param(fact("model", "Lark", Standing.CORRECTED), "Lark", "corrected", "corrected", id="corrected"),
        pytest.param(fact("model", "Lark", Standing.INFERRED), "Lark", "inferred", "worked out", id="inferred"),
        pytest.param(fact("model", "Lark", Standing.OTHER), "Lark", "other", "another’s", id="another's"),
        pytest.param(fact("model", "Lark", Standing.PLANNED), "Lark", "planned", "planned", id="planned"),
        pytest.param(fact("model", "Lark", Standing.PAST), "Lark", "past", "used to be", id="past"),
    ],
)
def test_standings_are_told_apart_by_line_and_by_word(one, words, kind, word):
    (piece,) = [piece for piece in pieces(one) if piece.marks]
    assert (piece.text, piece.kinds, piece.ends[0].word) == (words, kind, word)


def test_a_mark_leads_to_its_own_fact():
    (piece,) = [piece for piece in pieces(VOLTS) if piece.marks]
    assert piece.query == "name=pack_voltage&value=48+V&vehicle=1"


def test_of_a_word_in_a_phrase_the_word_is_meant():
    phrase = Fact("symptom", "x", span=Span(3, 24))
    meant = {piece.text: piece.query for piece in pieces(YEAR, phrase)}
    assert meant["2012"].startswith("name=year")
    assert meant[" Lark, maybe 48 V"].startswith("name=symptom")


def test_what_the_catalogue_adds_to_a_word_is_not_written_over_it():
    added = fact("powertrain", "Lark", Standing.INFERRED)
    (piece,) = [piece for piece in pieces(fact("model", "Lark"), added) if piece.marks]
    assert [mark.label for mark in piece.ends] == ["model"]


def test_a_danger_is_noted_beside_the_paragraph_it_is_told_in():
    first, second = marked(TEXT, [(Reading("q", hazards=(SMOKE,)), 0)], PACK)
    assert first.asides == ()
    assert second.asides[0].head == "DANGER, happening"


def test_what_does_not_fit_is_noted_where_its_last_fact_is_told():
    conflict = Conflict("volts", ("year", "pack_voltage"), "A 2012 has 36 V.")
    (note,) = marked(TEXT, [(Reading("q", (YEAR, VOLTS), conflicts=(conflict,)), 0)], PACK)[0].asides
    assert (note.kind, note.text) == ("odd", "A 2012 has 36 V.")
    assert all(piece.marks[0].odd for piece in pieces(YEAR, VOLTS, conflicts=(conflict,)) if piece.marks)


def test_what_was_said_in_an_earlier_message_is_not_marked_here():
    assert not [piece for piece in pieces(fact("year", "2012", message="m0")) if piece.marks]


@given(spans=st.lists(st.tuples(st.integers(0, 60), st.integers(1, 30)), max_size=6), text=st.text(max_size=80))
def test_marks_change_no_letter(spans, text):
    facts = tuple(Fact("year", n, span=Span(start, start + length)) for n, (start, length) in enumerate(spans))
    shown = marked(text, [(Reading("q", facts), 0)], PACK)
    joined = "".join(piece.text for paragraph in shown for piece in paragraph.pieces)
    assert joined.split() == text.split()

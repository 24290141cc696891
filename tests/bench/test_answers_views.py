"""A proposal as a difference, topics as strips, effects in words: told from the values alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from toys import answer

from triage.bench.answers.difference import bits, changes, origins, text_rows
from triage.bench.answers.views import effect_view, topics_of, waiting_lines
from triage.growth.effect import Effect, Effects, Outcome, Resolved, Turn
from triage.growth.proposal import Kind, Line, Origin, Proposal, Said, Topic
from triage.model import Decision, Question, Span

OLD = "Charge it first. Then fill it.\n\n- If it is dry: cover the plates.\n- If it is gel: leave it."
NEW = "Charge it first. Then fill it to the ring.\n\n- If it is dry: cover the plates.\n- If it is hot: wait."


def test_a_changed_text_shows_what_stays_what_is_reworded_and_what_comes_and_leaves() -> None:
    rows = list(text_rows(OLD, NEW, {}))
    assert [(row.how, row.text, row.bullet) for row in rows] == [
        ("same", "Charge it first.", False),
        ("other", "Then fill it to the ring.", False),
        ("same", "If it is dry: cover the plates.", True),
        ("other", "If it is hot: wait.", True),
    ]
    assert [(bit.how, bit.text) for bit in rows[-1].bits if bit.how != "same"] == [
        ("gone", " gel: leave it."), ("came", " hot: wait."),
    ]  # fmt: skip


def test_sentences_that_share_little_leave_and_come_each_on_its_own() -> None:
    rows = list(text_rows("Charge it first.", "Wear gloves, and keep children away.", {}))
    assert [row.how for row in rows] == ["gone", "came"]


WORDS = st.lists(st.sampled_from("charge it first then fill the cells to ring 5.1 V".split()), max_size=8).map(" ".join)


@given(WORDS, WORDS)
def test_a_reworded_sentence_holds_both_wordings_whole(before: str, after: str) -> None:
    found = list(bits(before, after))
    assert "".join(bit.text for bit in found if bit.how != "came") == before
    assert "".join(bit.text for bit in found if bit.how != "gone") == after


@given(st.lists(WORDS.filter(bool), max_size=5), st.lists(WORDS.filter(bool), max_size=5))
def test_every_sentence_of_both_texts_is_shown_once(before: list[str], after: list[str]) -> None:
    old, new = (" ".join(f"{text.capitalize()}." for text in texts) for texts in (before, after))
    rows = list(text_rows(old, new, {}))
    assert " ".join(row.text for row in rows if row.how != "gone") == new
    left = [bit.text for row in rows for bit in row.bits if bit.how != "came"]
    assert "".join("".join(left).split()) == "".join(old.split())


def said(text: str, **more: object) -> Line:
    fields = {"origin": Origin.REPLY, "text": text, "thread": 7, "place": "reply 2", "span": Span(0, 5)} | more
    return Line(text, (Said(**fields),))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("line", "label", "href"),
    [
        (said("If it is hot: wait."), "question 7, reply 2", "/question/7"),
        (said("If it is hot: wait.", origin=Origin.ASKED, place="m1@x"), "question 7, the asker", "/question/7"),
        (said("If it is hot: wait.", origin=Origin.ON_AIR, thread=0), "on air", ""),
        (said("If it is hot: wait.", origin=Origin.BASE, thread=0, place="water"), "stands in the answer water", ""),
        (said("If it is hot: wait.", origin=Origin.EDITOR, thread=0, place="Wyn"), "put so by Wyn", ""),
    ],
)
def test_a_new_sentence_tells_where_it_was_said(line: Line, label: str, href: str) -> None:
    new = answer("water", text="Charge it first. " + line.text)
    (change,) = changes(Proposal(1, Kind.NEW, (), (new,), (line,)))
    (where,) = change.rows[-1].said
    assert (where.label, where.href) == (label, href)


def test_fields_that_change_are_told_apart_from_those_that_stay() -> None:
    old = answer("water", "How do I fill it?", OLD, makes=["Ospren"], voltages=[36.0, 48.0])
    new = replace(old, variants=["water?"], applies_to=replace(old.applies_to, makes=["Ospren", "Merrow"]))
    (change,) = changes(Proposal(1, Kind.SCOPE, (old,), (new,)))
    assert {field.label: field.changed for field in change.fields if field.label != "Source"} == {
        "Title": False, "Question": False, "Also asked as": True, "Makes": True, "Voltages": False,
    }  # fmt: skip
    assert next(f.after for f in change.fields if f.label == "Voltages") == ("36", "48")
    assert all(row.how == "same" for row in change.rows)


def test_a_wording_stands_with_where_it_was_asked() -> None:
    old = answer("water", "How do I fill it?", OLD)
    line = said("when do i pour it in", origin=Origin.ASKED)
    proposal = Proposal(1, Kind.VARIANT, (old,), (replace(old, variants=[line.text]),), (line,))
    assert [where.label for where in origins(proposal)] == ["question 7, the asker"]


def test_a_line_of_the_list_marks_danger_and_who_agreed() -> None:
    proposal = Proposal(3, Kind.NEW, (), (answer("water"),), askers=2, hazards=("acid",), agreed=("Wyn",))
    (line,) = waiting_lines([proposal])
    assert (line.number, line.kind, line.askers, line.risky, line.agreed) == (
        3,
        "a new answer",
        "2 askers",
        True,
        "Wyn agreed",
    )


def test_topics_share_one_axis_from_the_first_time_until_today() -> None:
    def topic(name: str, *days: date) -> Topic:
        return Topic(name, (name, "radio"), (1, 2), 2, 30, 95.0, days)

    found = topics_of([topic("radio", date(2026, 1, 1), date(2026, 1, 31)), topic("winch", date(2026, 1, 16))],
                      date(2026, 1, 31))  # fmt: skip
    radio, winch = found.strips
    assert radio.marks == (6.0, 294.0) and winch.marks == (150.0,)
    assert (radio.minutes, radio.open_for, radio.says) == (
        "1.6 h",
        "30 days",
        "asked 2 times, first on 01 January 2026",
    )
    assert topics_of([], date(2026, 1, 31)).strips == ()


def test_an_effect_is_told_in_a_sentence_and_worse_before_better() -> None:
    before, after = Outcome("a", 0.9, Decision.ANSWER, 0.9), Outcome("b", 0.4, Decision.ASK, 0.1)
    effect = Effect(Resolved(Question("q", "Which nuts?"), frozenset({"a"}), 5, "Nuts"), before, after, Turn.WORSE)
    view = effect_view(Effects((effect, effect), 10, 3, {Turn.WORSE: 2, Turn.SAME: 8}), {"a": "Wheel nuts"}, most=1)
    assert view.says == (
        "10 questions read again: 0 better, 2 worse, 0 read otherwise, 8 as before. "
        "3 that lie further from it were not."
    )
    (line,) = view.lines
    assert (line.turn, line.title, line.href, line.before, line.after) == (
        "worse", "Nuts", "/question/5", "Wheel nuts, 90%; can be answered", "b, 40%; asks back",
    )  # fmt: skip
    assert view.more == 1

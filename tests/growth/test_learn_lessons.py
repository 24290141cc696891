"""What became of a draft, told from the draft and what was sent; and how much one person may count."""

from __future__ import annotations

import numpy as np
import pytest
from toys import answer

from triage.growth.learn_lessons import CAP, Became, Feedback, Lesson, capped, feedback, lesson, most_of
from triage.growth.learn_logit import COLUMNS, Rows

WATER = """Charge first, then fill. The level rises on charge.

- If it is dry: cover the plates.
- If it is gel: leave it."""
TYRES = "Tyre height is the last gear. Taller tyres push less. Check that they clear the body at full lock."
BASE = {"water": answer("water", text=WATER), "tyres": answer("tyres", text=TYRES)}
GREETING = "Hello Mabel,\n\nThank you for your message.\n\n"


@pytest.mark.parametrize(
    ("drafted", "sent", "expected"),
    [
        ("water", GREETING + WATER, Became.SENT),
        ("water", GREETING + "Charge first, then fill. The level rises on charge.\n\n- If it is dry: cover the plates.",
         Became.SENT),  # a branch that the draft left out takes nothing away
        ("water", GREETING + "Charge first, then fill. Mind your eyes. Ring me if the caps are stuck fast.",
         Became.EDITED),
        ("water", GREETING + TYRES, Became.CHANGED),
        ("", GREETING + TYRES, Became.CHANGED),
        ("water", GREETING + "That is a job for the dealer in your town, as we keep no parts for that kind of boat.",
         Became.REFUSED),
        ("", GREETING + "That is a job for the dealer in your town, as we keep no parts for that kind of boat.",
         Became.BY_HAND),
    ],
)  # fmt: skip
def test_what_became_of_a_draft(drafted: str, sent: str, expected: Became) -> None:
    told = feedback(drafted, sent, BASE)
    assert told is not None and told.became is expected


def test_the_answer_that_was_sent_is_the_right_one_and_a_refused_one_is_named() -> None:
    changed, refused = feedback("water", TYRES, BASE), feedback("water", "We keep no parts for boats. " * 4, BASE)
    assert changed and changed.answer == "tyres"
    assert refused and refused.answer == "water"


@pytest.mark.parametrize("drafted, sent", [("water", "Done, thanks, see you."), ("gone", "No boat parts here. " * 5)])
def test_a_short_word_and_an_answer_that_is_gone_teach_nothing(drafted: str, sent: str) -> None:
    assert feedback(drafted, sent, BASE) is None


def rows(*ids: str) -> Rows:
    return Rows(ids, np.zeros((len(ids) + 1, len(COLUMNS))))


@pytest.mark.parametrize(
    ("told", "right"),
    [
        (Feedback(Became.SENT, "water"), [True, False, False]),
        (Feedback(Became.REFUSED, "water"), [False, True, True]),
        (Feedback(Became.BY_HAND), [False, False, True]),
    ],
)
def test_which_rows_may_be_right(told: Feedback, right: list[bool]) -> None:
    found = lesson(1, "Wyn", told, rows("water", "tyres"))
    assert found is not None and found.right.tolist() == right


def test_an_answer_that_a_fact_excludes_teaches_nothing() -> None:
    assert lesson(1, "Wyn", Feedback(Became.SENT, "water"), rows("tyres")) is None


def test_a_person_counts_in_full_while_few_and_by_the_square_root_when_many() -> None:
    def given(person: str, count: int) -> list[Lesson]:
        made = (lesson(n, person, Feedback(Became.SENT, "water"), rows("water", "tyres")) for n in range(count))
        return [item for item in made if item]

    weighted = capped([*given("Wyn", 10), *given("Odile", 400)])
    totals = {who: sum(item.weight for item in weighted if item.person == who) for who in ("Wyn", "Odile")}
    assert totals == pytest.approx({"Wyn": 10.0, "Odile": CAP * 20})
    assert most_of(400) < 400 * 0.25

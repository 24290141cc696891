"""Sentences that cannot both be right are found, and near ones that can are left alone.

The pairs stand in pairs/: three sets, each written before the rules had been seen against it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import pytest
import yaml

from triage.growth.disagree import at_odds, disagreements
from triage.growth.statements import Reader, clauses
from triage.pack.schema import Answer, AppliesTo
from triage.pipeline import Stages

PAIRS = Path(__file__).parent / "pairs"


@dataclass(frozen=True)
class Pair:
    """Two sentences, what vehicles each is for, and what they disagree in ("" when both may be right)."""

    id: str
    one: str
    two: str
    kind: str = ""
    for_one: dict[str, object] = field(default_factory=dict)
    for_two: dict[str, object] = field(default_factory=dict)


def pairs(name: str) -> Sequence[Pair]:
    return [Pair(**row) for row in yaml.safe_load((PAIRS / f"{name}.yaml").read_text(encoding="utf-8"))]


def answer(id: str, text: str, scope: dict[str, object]) -> Answer:
    return Answer(id, id, "What is it?", text, applies_to=AppliesTo(**scope))  # type: ignore[arg-type]


@pytest.mark.parametrize("name", ["first", "second", "third"])
def test_nine_in_ten_contradictions_are_found_and_nine_in_ten_alarms_are_right(
    name: str, reader: Reader, stages: Stages
) -> None:
    told = pairs(name)
    alarms = {
        pair.id
        for pair in told
        if disagreements(
            answer("a", pair.one, pair.for_one), [answer("b", pair.two, pair.for_two)], reader, stages.pack.vehicles
        )
    }
    planted = {pair.id for pair in told if pair.kind}
    assert len(planted) >= 40
    assert len(told) - len(planted) >= 40
    assert len(alarms & planted) / len(planted) >= 0.9
    assert len(alarms & planted) / len(alarms) >= 0.9


def test_the_demo_base_hardly_disagrees_with_itself(reader: Reader, stages: Stages) -> None:
    """Every fifth of its 101 answers against all others: 2,100 pairs, and an alarm in fewer than one of 500."""
    answers, vehicles = stages.pack.answers, stages.pack.vehicles
    every = [found for one in answers[::5] for found in disagreements(one, answers, reader, vehicles)]
    assert len(every) <= 4


@pytest.mark.parametrize(
    ("one", "other", "kind"),
    [
        pytest.param(
            "Tighten the nuts to 50 lb ft.", "Tighten the nuts to 68 N m.", None, id="the-same-in-another-unit"
        ),
        pytest.param(
            "Tighten the nuts to 50 lb ft.", "Tighten the nuts to 90 N m.", "number", id="more-in-another-unit"
        ),
        pytest.param("Stop at 50 degrees C.", "Stop at 122 degrees F.", None, id="temperatures-have-an-offset"),
        pytest.param("The gap is at least 1 mm.", "The gap is 2 mm.", None, id="within-a-limit"),
        pytest.param("The gap is at most 1 mm.", "The gap is 2 mm.", "number", id="beyond-a-limit"),
        pytest.param("It does 12 to 15 mph.", "It does 14 mph.", None, id="within-a-range"),
        pytest.param("A full 48 V pack rests at 50.9 V.", "A full 36 V pack rests at 38.2 V.", None, id="other-packs"),
        pytest.param(
            "Turn it clockwise to raise it.", "Turn it anticlockwise to lower it.", None, id="two-turns-agree"
        ),
        pytest.param("The pack may be charged.", "The pack must not be charged.", "permission", id="yes-and-no"),
        pytest.param(
            "If it clicks, charge the pack.", "If it does not click, charge the pack.", None, id="other-cases"
        ),
    ],
)
def test_what_two_sentences_disagree_in(one: str, other: str, kind: str | None, reader: Reader) -> None:
    found = at_odds(reader.read(one), reader.read(other))
    assert (found[0] if found else None) == kind


def test_a_disagreement_names_the_vehicles_that_both_are_for(reader: Reader, stages: Stages) -> None:
    mine, theirs = (answer(id, f"Wheel nuts get {n} N m.", {"makes": ["Tarvik"]}) for id, n in (("a", 60), ("b", 100)))
    (found,) = disagreements(mine, [theirs], reader, stages.pack.vehicles)
    assert found.answer == "b"
    assert found.says == "60 newton meter against 100 newton meter"
    assert {stages.pack.vehicle(name).make for name in found.vehicles} == {"Tarvik"}


def test_figures_of_one_sentence_are_held_apart() -> None:
    assert clauses("If it is a 36 V pack: 38.0 V is full, 36.7 V is half.") == [
        "If it is a 36 V pack: 38.0 V is full",
        "If it is a 36 V pack: 36.7 V is half.",
    ]
    assert clauses("It takes 6 or 7 hours, sometimes more.") == []

"""Symptoms, work, modifications, measurements, intent, hazards, gaps and conflicts."""

from __future__ import annotations

from dataclasses import replace

import pytest
from evalcases import case, fact, facts, gaps, measured, note, told

from eval import metrics_conflicts, metrics_gaps, metrics_hazards, metrics_symptoms, metrics_told
from eval.cases import Case
from eval.counts import Counts, Share
from triage.model import Conflict, HazardNote, Reading
from triage.model import Standing as S


def test_symptoms_by_id() -> None:
    read = facts(fact("symptom", "slow"), fact("symptom", "clunk"), fact("symptom", "smokes", S.DENIED))
    scored = [case(read, symptoms=["slow", "squeak"])]
    assert metrics_symptoms.total(scored) == Counts(1, 1, 1)
    assert metrics_symptoms.by_symptom(scored) == {
        "clunk": Counts(false=1), "slow": Counts(true=1), "squeak": Counts(missed=1),
    }  # fmt: skip


def test_symptoms_in_plain_words_are_not_scored() -> None:
    plain = replace(case(facts(fact("symptom", "slow")), symptoms=["goes slowly"]), plain_symptoms=True)
    assert metrics_symptoms.total([plain]) == Counts()


@pytest.mark.parametrize(
    ("label", "read", "expected"),
    [
        ("batteries replaced", "battery replaced", Counts(1, 0, 0)),
        ("Solenoid replaced", "solenoid replaced", Counts(1, 0, 0)),
        ("oil topped up", "solenoid replaced", Counts(0, 1, 1)),
    ],
)
def test_work_is_compared_by_likeness_of_wording(label: str, read: str, expected: Counts) -> None:
    assert metrics_told.counts_of([case(facts(fact("work_done", read)), work_done=[label])], "work_done") == expected


def test_a_planned_modification_is_not_there_yet() -> None:
    assert metrics_told.counts_of([case(modifications=["rear seat planned"])], "modification") == Counts()


def test_a_list_per_battery_counts_figure_by_figure() -> None:
    read = facts(fact("measurement", (6.2, 6.3, 4.9), unit="V"))
    labels = [measured(6.2, "V"), measured([6.3, 6.3], "volts")]
    assert metrics_told.counts_of([case(read, measurements=labels)], "measurement") == Counts(2, 1, 1)


def test_a_figure_in_another_unit_is_another_measurement() -> None:
    read = facts(fact("measurement", 50, unit="A"))
    assert metrics_told.counts_of([case(read, measurements=[measured(50, "V")])], "measurement") == Counts(0, 1, 1)


@pytest.mark.parametrize(("intents", "read"), [((), "other"), (("may_i", "size"), "may_i")])
def test_intent_is_the_first_read_or_other(intents: tuple[str, ...], read: str) -> None:
    reading = facts(*(fact("intent", intent) for intent in intents))
    assert metrics_told.intent_read(case(reading)) == read
    assert metrics_told.intent_share([case(reading, intent=read), case(reading, intent="identify")]) == Share(1, 2)


def hazards(*notes: HazardNote, labelled: list[str]) -> Case:
    return case(Reading("t1", hazards=notes), hazards=labelled)


def test_only_reported_hazards_are_scored() -> None:
    scored = hazards(note("acid"), note("live_pack", told=False), labelled=["acid", "live_pack"])
    assert metrics_hazards.total([scored]) == Counts(true=1, missed=1)
    assert metrics_hazards.shown_at_all([scored]) == Share(2, 2)


def test_an_urgent_hazard_is_reported_even_without_words() -> None:
    assert metrics_hazards.total([hazards(note("acid", told=False, urgent=True), labelled=["acid"])]) == Counts(true=1)


def test_false_alarms_are_counted_over_calm_questions_only() -> None:
    calm, alarmed = hazards(labelled=[]), hazards(note("acid"), note("towing", urgent=True), labelled=[])
    danger = hazards(note("acid"), labelled=["towing"])
    assert metrics_hazards.false_alarms([calm, alarmed, danger]) == Share(1, 2)
    assert metrics_hazards.false_alarms([calm, hazards(note("acid"), labelled=[])], urgent=True) == Share(0, 2)
    assert metrics_hazards.by_hazard([danger]) == {"acid": Counts(false=1), "towing": Counts(missed=1)}


@pytest.mark.parametrize(
    ("asked", "decisive", "also", "first", "at_all"),
    [
        (("year", "make"), "year", [], 1, 1),
        (("make", "year"), "year", [], 0, 1),
        (("make", "year"), "year", ["make"], 1, 1),
        ((), "year", [], 0, 0),
    ],
)
def test_the_deciding_fact_should_be_asked_first(
    asked: tuple[str, ...], decisive: str, also: list[str], first: int, at_all: int
) -> None:
    scored = [case(gaps(*asked), decisive=decisive, decisive_ok=also), case(gaps("make"))]
    assert metrics_gaps.decisive_first(scored) == Share(first, 1)
    assert metrics_gaps.decisive_asked(scored) == Share(at_all, 1)


def test_asking_for_what_was_told_is_counted() -> None:
    labels = [told("year", 2012), told("pack_voltage", 48, S.HEDGED), told("lift", 3, S.OTHER)]
    scored = case(gaps("year", "pack_voltage", "lift", "work_done"), facts=labels, work_done=["oil changed"])
    assert metrics_gaps.asked_again([scored]) == Share(2, 4)  # the year and the work; a hedged fact may be confirmed
    assert [mistake.got for mistake in metrics_gaps.mistakes(scored)] == ["year", "work_done"]


@pytest.mark.parametrize(
    ("labelled", "found", "expected"),
    [(True, True, Counts(1, 0, 0)), (False, True, Counts(0, 1, 0)), (True, False, Counts(0, 0, 1))],
)
def test_a_conflict_is_seen_or_not(labelled: bool, found: bool, expected: Counts) -> None:
    reading = Reading("t1", conflicts=(Conflict("c", ("year",), "cannot be"),) * found)
    assert metrics_conflicts.total([case(reading, conflicts=["year and name"] * labelled)]) == expected

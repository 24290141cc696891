"""Facts: value and name first, then standing; what does not hold must not be taken as true."""

from __future__ import annotations

from dataclasses import replace

import pytest
from evalcases import case, fact, facts, told

from eval import metrics_facts
from eval.catalogue import fuller_models
from eval.counts import Counts, Share
from eval.labels import ToldFact
from eval.shops import opened, shops
from triage.model import Fact
from triage.model import Standing as S


@pytest.mark.parametrize(
    ("labelled", "read", "expected"),
    [
        pytest.param(told("pack_voltage", 48), fact("pack_voltage", 48), Counts(1, 0, 0), id="the-same"),
        pytest.param(told("pack_voltage", 48), fact("pack_voltage", 36), Counts(0, 1, 1), id="another-value"),
        pytest.param(
            told("pack_voltage", 48, S.HEDGED), fact("pack_voltage", 48), Counts(1, 0, 0), id="standing-apart"
        ),
        pytest.param(
            told("pack_voltage", 48),
            fact("pack_voltage", 48, S.INFERRED),
            Counts(0, 0, 1),
            id="inferring-is-not-reading",
        ),
        pytest.param(
            told("powertrain", "petrol", S.INFERRED),
            fact("powertrain", "petrol", S.INFERRED),
            Counts(1, 0, 0),
            id="inferred-by-words",
        ),
        pytest.param(
            told("powertrain", "petrol", S.INFERRED), fact("powertrain", "petrol"), Counts(1, 0, 0), id="read-as-stated"
        ),
        pytest.param(
            told("powertrain", "petrol", S.DENIED), fact("powertrain", "petrol"), Counts(0, 1, 0), id="denied-asserted"
        ),
        pytest.param(
            told("powertrain", "petrol", S.DENIED),
            fact("powertrain", "petrol", S.DENIED),
            Counts(),
            id="denied-is-not-asserted",
        ),
    ],
)
def test_counts_of_one_fact(labelled: ToldFact, read: Fact, expected: Counts) -> None:
    assert metrics_facts.total([case(facts(read), facts=[labelled])]) == expected


def test_what_only_the_catalogue_infers_is_neither_right_nor_wrong() -> None:
    assert metrics_facts.total([case(facts(fact("battery_chemistry", "agm", S.INFERRED)))]) == Counts()


def test_facts_other_than_the_closed_ones_are_left_alone() -> None:
    assert metrics_facts.total([case(facts(fact("solenoid_click", "yes")))]) == Counts()


def test_a_value_told_twice_counts_once() -> None:
    twice = [told("year", 2012), told("year", 2012)]
    assert metrics_facts.total([case(facts(fact("year", 2012)), facts=twice)]) == Counts(true=1)


def test_counts_are_kept_by_name() -> None:
    read = facts(fact("year", 2012), fact("make", "Ospren"))
    names = metrics_facts.by_name([case(read, facts=[told("year", 2012), told("make", "Tarvik")])])
    assert names["year"] == Counts(true=1)
    assert names["make"] == Counts(false=1, missed=1)


def test_standing_is_compared_where_the_value_was_found() -> None:
    read = facts(fact("year", 2012), fact("pack_voltage", 48), fact("lift", 3))
    labels = [told("year", 2012, S.HEDGED), told("pack_voltage", 48), told("lift", 6)]
    scored = [case(read, facts=labels)]
    assert metrics_facts.standing_share(scored) == Share(1, 2)
    assert metrics_facts.standings(scored)[S.HEDGED, S.STATED] == 1


def test_one_value_with_two_standings_pairs_like_with_like() -> None:
    read = facts(fact("pack_voltage", 48, S.OTHER), fact("pack_voltage", 48))
    labels = [told("pack_voltage", 48), told("pack_voltage", 48, S.OTHER)]
    assert metrics_facts.standing_share([case(read, facts=labels)]) == Share(2, 2)


@pytest.mark.parametrize(
    ("labelled", "read", "serious"),
    [
        (told("pack_voltage", 48, S.PLANNED), fact("pack_voltage", 48), 1),
        (told("pack_voltage", 48, S.PLANNED), fact("pack_voltage", 48, S.PLANNED), 0),
        (told("pack_voltage", 48, S.OTHER), fact("pack_voltage", 48, S.INFERRED), 0),  # may be the asker's own as well
        (told("powertrain", "petrol", S.DENIED), fact("powertrain", "petrol", S.INFERRED), 1),
        (told("top_speed", 19, S.PAST), fact("top_speed", 19, S.HEDGED), 1),
    ],
)
def test_taking_as_true_what_does_not_hold_is_serious(labelled: ToldFact, read: Fact, serious: int) -> None:
    assert metrics_facts.serious_share([case(facts(read), facts=[labelled])]) == Share(serious, 1)


def test_a_neighbours_value_that_is_the_askers_too_is_not_serious() -> None:
    labels = [told("pack_voltage", 48), told("pack_voltage", 48, S.OTHER)]
    assert metrics_facts.serious_share([case(facts(fact("pack_voltage", 48)), facts=labels)]) == Share(0, 1)


def test_mistakes_name_what_was_expected_and_what_was_read() -> None:
    mistakes = list(metrics_facts.mistakes(case(facts(fact("year", 2011)), facts=[told("year", 2012)])))
    assert [(m.kind, m.expected, m.got) for m in mistakes] == [
        ("fact missed", "year 2012 (stated)", ["year 2011 (stated)"]),
        ("fact made up", ["year 2012 (stated)"], "year 2011 (stated)"),
    ]


def test_a_fuller_name_counts_for_the_askers_own_model_only() -> None:
    own = replace(case(facts(fact("model", "Lark Li")), facts=[told("model", "Lark")]), models=frozenset({"Lark Li"}))
    assert metrics_facts.total([own]) == Counts(true=1)
    labels = [told("model", "Lark", S.OTHER), told("model", "Ridge")]
    anothers = replace(case(facts(fact("model", "Lark Li")), facts=labels), models=frozenset({"Lark Li"}))
    assert metrics_facts.total([anothers]) == Counts(false=1, missed=1)


@pytest.mark.parametrize(
    ("labels", "expected"),
    [
        pytest.param([told("model", "Lark"), told("battery_chemistry", "lithium")], {"Lark Li"}, id="by-batteries"),
        pytest.param([told("model", "Tern"), told("year", 2018)], {"Tern EFI"}, id="by-year"),
        pytest.param([told("model", "Lark")], set(), id="nothing-speaks-for-one"),
        pytest.param([told("model", "Ridge"), told("year", 2003, S.OTHER)], set(), id="another-vehicles-year"),
    ],
)
def test_the_catalogues_fuller_name_is_right_when_the_labelled_facts_tell_it(
    labels: list[ToldFact], expected: set[str]
) -> None:
    (demo,) = shops("demo")
    with opened(demo) as stages:
        assert fuller_models(case(facts=labels).gold, stages.pack) == expected

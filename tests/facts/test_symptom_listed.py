"""A list of readings, one battery each, tells by itself that one lies low."""

from __future__ import annotations

import pytest

from triage.facts.symptom_listed import Listed
from triage.model import Fact, Standing
from triage.pack.schema import Symptom

LOW = Symptom("one_low", "one is low", "battery", "lies low", one_below=0.024)
OTHER = Symptom("hums", "hums", "motor", "hums")


def measured(*values: float, standing: Standing = Standing.STATED) -> Fact:
    return Fact("measurement", values, "V", standing, condition="at rest")


@pytest.mark.parametrize(
    ("values", "told"),
    [
        pytest.param((6.3, 6.3, 6.1, 6.3), True, id="0.2 V low among 6 V batteries"),
        pytest.param((6.3, 6.3, 6.2, 6.3), False, id="0.1 V: within 0.15 V (deep_cycle_faq)"),
        pytest.param((12.7, 12.7, 12.3, 12.7), True, id="0.4 V low among 12 V batteries"),
        pytest.param((12.7, 12.6, 12.5, 12.7), False, id="0.2 V: within 0.30 V (deep_cycle_faq)"),
        pytest.param((1.265, 1.26, 1.21, 1.265), True, id="specific gravity 0.050 down"),
        pytest.param((6.3, 5.1), False, id="two readings have no usual one"),
        pytest.param((0.0, 0.0, 0.0), False, id="all at nothing"),
    ],
)
def test_a_list_tells_a_low_one(values: tuple[float, ...], told: bool) -> None:
    shown = list(Listed([LOW, OTHER]).shown([measured(*values)]))
    assert [fact.value for fact in shown] == (["one_low"] if told else [])


def test_what_the_list_shows_keeps_its_standing_and_condition() -> None:
    (fact,) = Listed([LOW]).shown([measured(6.3, 6.3, 5.1, standing=Standing.HEDGED)])
    assert (fact.standing, fact.condition) == (Standing.HEDGED, "at rest")


def test_what_words_told_already_is_not_told_twice() -> None:
    assert not list(Listed([LOW]).shown([measured(6.3, 6.3, 5.1), Fact("symptom", "one_low")]))


@pytest.mark.parametrize(("standing", "settled"), [(Standing.STATED, {"one_low"}), (Standing.OTHER, set())])
def test_a_list_that_holds_settles_the_matter(standing: Standing, settled: set[str]) -> None:
    assert Listed([LOW, OTHER]).settled([measured(6.3, 6.3, 6.3, standing=standing)]) == settled

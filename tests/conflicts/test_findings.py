"""Lists of single batteries: what is low, by how much, and when nothing can be said."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from triage.conflicts import findings
from triage.model import Fact, Finding, Standing
from triage.pack import Pack


def each(*values: float, condition: str = "at rest") -> Fact:
    """Readings of the single batteries."""
    return Fact("measurement", values, "V", what="each battery", condition=condition)


SIX, TWELVE = Fact("battery_voltage", 6, "V"), Fact("battery_voltage", 12, "V")


@pytest.mark.parametrize(
    ("facts", "says"),
    [
        # 0.15 V among 6 V batteries, 0.30 V among 12 V ones: a deep-cycle maker's FAQ (B-48)
        (
            (SIX, each(6.3, 6.3, 6.3, 5.1, 6.3, 6.3)),
            "5.1 V against 6.3 V: battery 4 is 1.2 V low; 0.15 V is the limit for equalising",
        ),
        (
            (each(6.3, 6.3, 6.3, 5.1, 6.3, 6.3),),
            "5.1 V against 6.3 V: battery 4 is 1.2 V low; 0.15 V is the limit for equalising",
        ),
        (
            (TWELVE, each(12.6, 12.2, 12.6, 12.1)),
            "12.1 V to 12.6 V: the batteries lie 0.5 V apart; 0.30 V is the limit for equalising",
        ),
        (
            (TWELVE, each(12.6, 12.6, 12.6, 11.9)),
            "11.9 V against 12.6 V: battery 4 is 0.7 V low; 0.30 V is the limit for equalising",
        ),
        (
            (each(8.4, 8.4, 8.0, 8.4, 7.9, 8.4),),
            "8 V, 7.9 V against 8.4 V: batteries 3 and 5 are 0.4 V and 0.5 V low; 0.20 V is the limit for equalising",
        ),
        (
            (SIX, each(6.30, 6.20, 6.25, 6.36, 6.28, 6.33)),
            "6.2 V to 6.36 V: the batteries lie 0.16 V apart; 0.15 V is the limit for equalising",
        ),
        (
            (Fact("measurement", (1.265, 1.210, 1.260), "sg", what="each battery"),),
            "1.210 against 1.265: the readings lie 0.055 apart",
        ),  # B-47
    ],
)
def test_a_low_battery_is_told_with_its_figures(demo: Pack, facts: tuple[Fact, ...], says: str) -> None:
    (found,) = findings(facts, demo)
    assert found.says.startswith(says)
    assert found.source


@pytest.mark.parametrize(
    "facts",
    [
        (SIX, each(6.30, 6.25, 6.20, 6.32)),  # 0.12 V apart
        (SIX, each(6.30, 6.15)),  # just at the limit
        (TWELVE, each(12.6, 12.4, 12.5, 12.6)),
        (SIX, each(6.3, 6.3, 5.1, 6.3, condition="under load")),
        (Fact("battery_chemistry", "lithium"), each(12.9, 13.2, 12.4, 13.1)),
        (Fact("measurement", (1.265, 1.240, 1.260), "sg", what="each battery"),),  # 0.025
        (SIX, each(6.3)),
        (),
    ],
)
def test_nothing_is_told_where_nothing_shows(demo: Pack, facts: tuple[Fact, ...]) -> None:
    assert findings(facts, demo) == ()


def test_another_persons_batteries_are_left_alone(demo: Pack) -> None:
    theirs = Fact("measurement", (6.3, 5.1), "V", Standing.OTHER, what="each battery")
    assert findings((theirs,), demo) == ()


def test_the_list_is_read_from_the_text(findings_in: Callable[[str], tuple[Finding, ...]]) -> None:
    (found,) = findings_in("2003 Lark, batteries read 6.3 6.3 6.3 5.1 6.3 6.3, won't climb the hill")
    assert found.says == "5.1 V against 6.3 V: battery 4 is 1.2 V low; 0.15 V is the limit for equalising"
    assert found.source == "deep_cycle_faq"

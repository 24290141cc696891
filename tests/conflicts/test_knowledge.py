"""The margins, clues and excuses of the trade part: sourced, in step with physics, and silent when taken out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from triage.conflicts import find_conflicts, findings
from triage.model import Fact
from triage.pack import Pack
from triage.physics.batteries import Spread, rest_voltage_at_soc, voltage_spread_verdict
from triage.physics.pack import lithium_window

UNSOURCED = ("common practice, no source", "from memory")


def test_every_limit_names_its_source(demo: Pack) -> None:
    for limit in demo.limits.values():
        cited = limit.source in demo.sources or limit.source in UNSOURCED or " page " in limit.source
        assert cited, f"{limit.id}: {limit.source}"


def test_every_excuse_explains_a_fact_that_is_compared(demo: Pack) -> None:
    known = {*demo.facts, "controller_type"}
    assert {name for excuse in demo.excuses.values() for name in excuse.explains} <= known


@pytest.mark.parametrize("cells", [3, 4, 6])
def test_the_spread_in_words_is_the_one_physics_judges_by(demo: Pack, cells: int) -> None:
    """0.15 V among 6 V and 0.30 V among 12 V batteries: a deep-cycle maker's FAQ."""
    limit = demo.limits["unit_spread"].value * cells
    assert voltage_spread_verdict(limit, cells, retested=False) is Spread.FINE
    assert voltage_spread_verdict(limit + 0.01, cells, retested=False) is Spread.EQUALISE


def test_a_pack_moves_less_from_full_to_flat_than_two_readings_may_differ(demo: Pack) -> None:
    """12.65 and 11.89 V: "State Of Charge - SOC Measurement"."""
    full, flat = rest_voltage_at_soc(100, 24), rest_voltage_at_soc(0, 24)
    assert 1 - flat / full < demo.limits["repeat_margin"].value


def test_the_voltage_ratios_keep_the_usual_packs_apart(demo: Pack) -> None:
    charger, same = demo.limits["charger_ratio"].value, demo.limits["same_voltage"].value
    assert lithium_window(16).full_v / 48 < charger < 48 / 36  # 58.4 V on the label of a 48 V charger
    assert 51.2 / 48 < same < 48 / 36


@pytest.mark.parametrize(
    ("limit", "facts"),
    [
        ("same_voltage", (Fact("model", "Drover"), Fact("pack_voltage", 36, "V"))),
        ("charger_ratio", (Fact("pack_voltage", 48, "V"), Fact("charger_voltage", 36, "V"))),
        ("stock_speed", (Fact("model", "Drover"), Fact("top_speed", 40, "mph"))),
        ("highest_cell", (Fact("battery_voltage", 6, "V"), Fact("measurement", 9.0, "V", what="battery voltage"))),
    ],
)
def test_a_rule_without_its_limit_is_silent(demo: Pack, limit: str, facts: tuple[Fact, ...]) -> None:
    assert find_conflicts(facts, demo)
    without = {name: value for name, value in demo.limits.items() if name != limit}
    assert not find_conflicts(facts, replace(demo, limits=without, digest=f"without {limit}"))


def test_no_limit_no_finding(demo: Pack) -> None:
    facts = (Fact("measurement", (6.3, 5.1, 6.3), "V", what="each battery"),)
    assert findings(facts, demo)
    assert not findings(facts, replace(demo, limits={}, digest="no limits"))

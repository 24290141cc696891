"""Whatever facts come in, the rules answer: no value of a fact makes them fail."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from triage.conflicts import find_conflicts, findings
from triage.model import Fact, Standing
from triage.pack import Pack

NAMES = (
    "make model year powertrain pack_voltage battery_count battery_voltage battery_chemistry controller "
    "controller_current controller_type motor tyre_size wheel_diameter lift spacer top_speed charger_voltage "
    "wheel_stud direction_switch throttle_sensor modification work_done caps sealed charger_kind charger_mode "
    "spacer_axle rub_axle charge_state each_reads all_stock pack_original"
).split()
WORDS = [
    "Lark",
    "Tarvik",
    "Courier",
    "Wren",
    "lithium",
    "gel",
    "petrol",
    "2005-2006",
    "18x8.50-8",
    "M12x1.25",
    "",
    "odd",
]
NUMBERS = st.one_of(
    st.integers(-5, 3000), st.floats(allow_nan=False, allow_infinity=False, width=32), st.sampled_from([6, 8, 36, 48])
)
VALUES = st.one_of(st.sampled_from(WORDS), NUMBERS)
FACTS = st.builds(Fact, st.sampled_from(NAMES), VALUES, standing=st.sampled_from(Standing), vehicle=st.integers(1, 2))
READINGS = st.builds(
    Fact,
    st.just("measurement"),
    st.one_of(VALUES, st.lists(st.floats(0, 100), max_size=8).map(tuple)),
    st.sampled_from(["V", "", "sg"]),
    what=st.sampled_from(["pack voltage", "battery voltage", "each battery", "specific gravity"]),
    condition=st.sampled_from(["", "at rest", "under load", "fully charged"]),
)


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.one_of(FACTS, READINGS), max_size=14))
def test_no_facts_make_the_rules_fail(demo: Pack, facts: list[Fact]) -> None:
    told = find_conflicts(facts, demo)
    assert len(set(told)) == len(told)
    assert all(conflict.says and conflict.ask and conflict.source for conflict in told)
    assert all(found.says for found in findings(facts, demo))

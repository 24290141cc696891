"""What to ask next: the fact that decides, never one that was told, three at most, the easy before the dangerous."""

from __future__ import annotations

import pytest
from toys import fact, held

from triage.gaps import choose_gaps
from triage.gaps.worth import BRANCH_WORTH, DANGER_COST, EFFORT_COST, MOST, NEED_WORTH, Candidate
from triage.model import Standing
from triage.pack.schema import FactKind


def kind(id: str, effort: int = 1, danger: bool = False) -> FactKind:
    return FactKind(
        id=id, label=id, kind="text", ask=f"What is the {id}?", find_out=f"Read the {id}.", effort=effort, danger=danger
    )


KINDS = {id: kind(id) for id in ("powertrain", "make", "year", "pack_voltage", "use", "serial")}
HALF = {"pack_voltage": {36.0: 0.5, 48.0: 0.5}}


def candidate(probability: float, needs: tuple[str, ...] = (), branches: tuple[str, ...] = (), **scope) -> Candidate:
    return Candidate(probability, {name: tuple(values) for name, values in scope.items()}, needs, frozenset(branches))


NEIGHBOURS = [candidate(0.4, pack_voltage=[36]), candidate(0.4, pack_voltage=[48])]


def names(candidates, known=None, kinds=KINDS, usual=HALF, **more) -> list[str]:
    return [gap.fact for gap in choose_gaps(candidates, known or {}, kinds, usual, **more)]


def test_asks_the_one_fact_that_decides_between_near_neighbours():
    (gap,) = choose_gaps(NEIGHBOURS, {}, KINDS, HALF)
    assert (gap.fact, gap.ask, gap.find_out) == ("pack_voltage", "What is the pack_voltage?", "Read the pack_voltage.")
    # knowing it, the right one of the two has 0.8: 0.4 more than now, by hand
    assert gap.worth == pytest.approx(0.4)


@pytest.mark.parametrize(
    ("known", "asked"),
    [
        pytest.param({}, ["pack_voltage"], id="not-told"),
        pytest.param(held(fact("pack_voltage", 48)), [], id="stated"),
        pytest.param(held(fact("pack_voltage", 48, Standing.CORRECTED)), [], id="corrected"),
        pytest.param(held(fact("pack_voltage", 48, Standing.INFERRED)), [], id="inferred"),
        pytest.param(held(fact("pack_voltage", 48, Standing.HEDGED)), ["pack_voltage"], id="hedged-is-confirmed"),
    ],
)
def test_never_asks_for_what_was_told(known, asked):
    assert names(NEIGHBOURS, known) == asked


def test_a_hedged_fact_is_confirmed_with_the_askers_own_value():
    (gap,) = choose_gaps(NEIGHBOURS, held(fact("pack_voltage", 48, Standing.HEDGED)), KINDS, HALF)
    assert "48 V" in gap.ask and "confirm" in gap.ask


def test_a_fact_that_was_asked_for_and_cannot_be_known_is_not_asked_again():
    assert names(NEIGHBOURS, settled=frozenset({"pack_voltage"})) == []


def test_a_fact_the_pack_has_no_question_for_is_not_asked():
    assert (
        names(NEIGHBOURS, kinds={"pack_voltage": FactKind(id="pack_voltage", label="pack voltage", kind="number")})
        == []
    )
    assert names(NEIGHBOURS, kinds={}) == []


def test_three_at_most_the_most_telling_first():
    likely = candidate(0.9, ("make", "use", "serial"), ("year", "pack_voltage"))
    gaps = choose_gaps([likely], {}, KINDS, {})
    assert len(gaps) == MOST == 3
    assert [gap.fact for gap in gaps][:2] == ["pack_voltage", "year"]
    assert [gap.worth for gap in gaps] == sorted((gap.worth for gap in gaps), reverse=True)


@pytest.mark.parametrize(
    ("more", "worth"),
    [
        pytest.param({}, 0.4, id="a-glance"),
        pytest.param({"effort": 5}, 0.4 - 4 * EFFORT_COST, id="tools-and-an-hour"),
        pytest.param({"danger": True}, 0.4 - DANGER_COST, id="dangerous-to-find-out"),
    ],
)
def test_effort_and_danger_cost(more, worth):
    (gap,) = choose_gaps(NEIGHBOURS, {}, {"pack_voltage": kind("pack_voltage", **more)}, HALF)
    assert gap.worth == pytest.approx(worth)


def test_of_two_facts_that_decide_the_same_the_safe_one_goes_first():
    pair = [candidate(0.4, a=[1], b=[1]), candidate(0.4, a=[2], b=[2])]
    kinds = {"a": kind("a", danger=True), "b": kind("b")}
    assert names(pair, kinds=kinds, usual={}) == ["b", "a"]


@pytest.mark.parametrize(
    ("candidates", "worth"),
    [
        pytest.param([candidate(1.0, branches=("use",))], BRANCH_WORTH, id="branched-on"),
        pytest.param([candidate(1.0, needs=("use",))], NEED_WORTH, id="only-needed"),
        pytest.param([candidate(0.5, branches=("use",))], BRANCH_WORTH / 2, id="half-as-likely"),
    ],
)
def test_a_fact_that_chooses_a_branch_is_worth_its_share(candidates, worth):
    (gap,) = choose_gaps(candidates, {}, KINDS, {})
    assert gap.worth == pytest.approx(worth)


def test_a_fact_that_changes_nothing_is_not_asked():
    both = [candidate(0.4, pack_voltage=[36, 48]), candidate(0.4)]
    assert names(both) == []


@pytest.mark.parametrize("usual", [{"pack_voltage": {48.0: 1.0}}, HALF], ids=["one-value-left", "two"])
def test_a_fact_with_one_value_left_tells_nothing(usual):
    assert names(NEIGHBOURS, usual=usual) == (["pack_voltage"] if len(usual["pack_voltage"]) > 1 else [])


def test_no_answer_in_play_no_question():
    assert choose_gaps([], {}, KINDS, HALF) == ()

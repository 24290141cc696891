"""What to ask next: the fact that decides, never one that was told, three at most, the easy before the dangerous."""

from __future__ import annotations

from dataclasses import replace

import pytest
from toys import fact, held

from triage.gaps import Candidate, Situation, Told, choose_gaps
from triage.gaps.vehicles import State
from triage.gaps.worth import BRANCH_WORTH, DANGER_COST, EFFORT_COST, MOST, NEED_WORTH
from triage.model import Standing
from triage.pack.schema import FactKind


def kind(id: str, effort: int = 1, danger: bool = False) -> FactKind:
    # everybody can tell it: the share who can is a factor of its own
    return FactKind(
        id=id,
        label=id,
        kind="text",
        ask=f"What is the {id}?",
        find_out=f"Read the {id}.",
        effort=effort,
        danger=danger,
        tellable=1.0,
    )


KINDS = {id: kind(id) for id in ("make", "year", "pack_voltage", "wheel_stud", "serial")}
HALF = (State(0.5, {"pack_voltage": 36.0}), State(0.5, {"pack_voltage": 48.0}))
ANY = (State(1.0, {}),)


def candidate(probability: float, needs: tuple[str, ...] = (), branches: tuple[str, ...] = (), **scope) -> Candidate:
    return Candidate(probability, {name: tuple(values) for name, values in scope.items()}, needs, frozenset(branches))


LARK = held(fact("model", "Lark"))
NEIGHBOURS = [candidate(0.4, pack_voltage=[36]), candidate(0.4, pack_voltage=[48])]


def ask(candidates, known=None, kinds=KINDS, states=HALF, told=Told()):  # noqa: B008  (frozen)
    known = known or {}
    firm = {name: item for name, item in known.items() if item.standing is not Standing.HEDGED}
    return choose_gaps(candidates, known, kinds, Situation(states, firm), told)


def names(candidates, *more, **others) -> list[str]:
    return [gap.fact for gap in ask(candidates, *more, **others)]


def test_asks_the_one_fact_that_decides_between_near_neighbours():
    (gap,) = ask(NEIGHBOURS)
    assert (gap.fact, gap.ask, gap.find_out) == ("pack_voltage", "What is the pack_voltage?", "Read the pack_voltage.")
    # of two equal answers one is right by half; knowing the volts it is right for sure: half more, by hand
    assert gap.worth == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("known", "asked"),
    [
        pytest.param({}, ["pack_voltage"], id="not-told"),
        pytest.param(held(fact("pack_voltage", 48)), [], id="stated"),
        pytest.param(held(fact("pack_voltage", 48, Standing.CORRECTED)), [], id="corrected"),
        pytest.param(held(fact("pack_voltage", 48, Standing.INFERRED)), [], id="safely-inferred"),
        pytest.param(held(fact("pack_voltage", 48, Standing.HEDGED)), ["pack_voltage"], id="hedged-is-confirmed"),
    ],
)
def test_never_asks_for_what_was_told(known, asked):
    assert names(NEIGHBOURS, known) == asked


def test_a_hedged_fact_is_confirmed_with_the_askers_own_value():
    (gap,) = ask(NEIGHBOURS, held(fact("pack_voltage", 48, Standing.HEDGED)))
    assert "48 V" in gap.ask and "confirm" in gap.ask


def test_a_fact_that_was_asked_for_and_cannot_be_known_is_not_asked_again():
    assert names(NEIGHBOURS, told=Told(aside=frozenset({"pack_voltage"}))) == []


def test_a_fact_the_pack_has_no_question_for_is_not_asked():
    silent = {"pack_voltage": FactKind(id="pack_voltage", label="pack voltage", kind="number")}
    assert names(NEIGHBOURS, kinds=silent) == []
    assert names(NEIGHBOURS, kinds={}) == []


def test_three_at_most_and_the_telling_before_the_merely_needed():
    likely = candidate(0.9, ("make", "serial"), ("year", "wheel_stud", "pack_voltage"))
    gaps = ask([likely], states=ANY)
    assert len(gaps) <= MOST == 3
    assert {gap.fact for gap in gaps} <= {"year", "wheel_stud", "pack_voltage"}


@pytest.mark.parametrize(
    ("more", "worth"),
    [
        pytest.param({}, 0.5, id="a-glance"),
        pytest.param({"effort": 5}, 0.5 - 4 * EFFORT_COST, id="tools-and-an-hour"),
        pytest.param({"danger": True}, 0.5 - DANGER_COST, id="dangerous-to-find-out"),
    ],
)
def test_effort_and_danger_cost(more, worth):
    (gap,) = ask(NEIGHBOURS, kinds={"pack_voltage": kind("pack_voltage", **more)})
    assert gap.worth == pytest.approx(worth)


def test_of_two_facts_that_decide_the_same_only_the_safe_one_is_asked():
    pair = [candidate(0.4, make=[1], year=[1, 1]), candidate(0.4, make=[2], year=[2, 2])]
    states = (State(0.5, {"make": 1, "year": "1-1"}), State(0.5, {"make": 2, "year": "2-2"}))
    kinds = {"make": kind("make", danger=True), "year": kind("year")}
    assert names(pair, LARK, kinds=kinds, states=states) == ["year"]


def test_the_year_of_a_model_nobody_knows_is_not_asked_for():
    pair = [candidate(0.4, year=[1, 1]), candidate(0.4, year=[2, 2])]
    states = (State(0.5, {"year": "1-1"}), State(0.5, {"year": "2-2"}))
    assert names(pair, LARK, states=states) == ["year"]
    assert names(pair, states=states) == []


def test_a_make_that_is_not_listed_need_not_be_confirmed():
    sure_of_little = held(fact("make", "Orlow", Standing.HEDGED))
    needed = [candidate(0.9, needs=("make",))]
    assert [gap.fact for gap in choose_gaps(needed, sure_of_little, KINDS, Situation(ANY, sure_of_little))] == ["make"]
    assert choose_gaps(needed, sure_of_little, KINDS, Situation(ANY, {})) == ()


@pytest.mark.parametrize(
    ("candidates", "worth"),
    [
        pytest.param([candidate(1.0, branches=("wheel_stud",))], BRANCH_WORTH, id="branched-on"),
        pytest.param([candidate(1.0, needs=("wheel_stud",))], NEED_WORTH, id="only-needed"),
    ],
)
def test_a_fact_that_chooses_a_branch_is_worth_more_than_one_that_is_only_needed(candidates, worth):
    (gap,) = ask(candidates, states=ANY)
    assert gap.worth == pytest.approx(worth)


def test_a_fact_that_changes_nothing_is_not_asked():
    assert names([candidate(0.4, pack_voltage=[36, 48]), candidate(0.4)]) == []


@pytest.mark.parametrize(
    ("states", "asked"),
    [((State(1.0, {"pack_voltage": 48.0}),), []), (HALF, ["pack_voltage"])],
    ids=["one-value-left", "two"],
)
def test_a_fact_with_one_value_left_tells_nothing(states, asked):
    assert names(NEIGHBOURS, states=states) == asked


SIX = fact("battery_count", 6)
PACKS = (
    State(0.5, {"pack_voltage": 36, "battery_voltage": 6, "battery_count": 6}),
    State(0.5, {"pack_voltage": 48, "battery_voltage": 8, "battery_count": 6}),
)
PACK_KINDS = {id: kind(id) for id in ("pack_voltage", "battery_count", "battery_voltage")}


@pytest.mark.parametrize(
    ("known", "asked"),
    [({}, ["pack_voltage"]), (held(SIX), ["battery_voltage"])],
    ids=["nothing-known", "the-count-is-known"],
)
def test_with_the_count_known_one_battery_is_looked_at_instead_of_the_pack_reckoned_up(known, asked):
    assert names(NEIGHBOURS, known, kinds=PACK_KINDS, states=PACKS) == asked


def test_where_it_may_have_no_pack_that_is_asked_first():
    states = (*HALF, State(0.5, {"powertrain": "petrol"}))
    states = tuple(State(s.share / 1.5, {"powertrain": "electric", **s.values}) for s in states)
    kinds = {id: kind(id) for id in ("powertrain", "pack_voltage")}
    pair = [candidate(0.4, powertrain=["electric"], pack_voltage=[36]), candidate(0.4, powertrain=["petrol"])]
    assert names(pair, kinds=kinds, states=states)[0] == "powertrain"


@pytest.mark.parametrize(
    ("told", "asked"),
    [
        (Told(), []),
        (Told(symptoms=frozenset({"fault_code"})), ["error_code"]),
        (Told(symptoms=frozenset({"slow"})), []),
        (Told(contradicted=frozenset({"model", "battery_count"})), ["serial"]),
        (Told(contradicted=frozenset({"battery_count", "pack_voltage"})), []),
    ],
    ids=["nothing", "a-code-is-shown", "another-symptom", "does-not-fit-the-vehicle-named", "does-not-add-up"],
)
def test_what_was_told_makes_a_fact_worth_asking(told, asked):
    kinds = {"serial": kind("serial"), "error_code": replace(kind("error_code"), follows=["fault_code"])}
    assert names([candidate(0.9)], kinds=kinds, states=ANY, told=told) == asked


@pytest.mark.parametrize(
    ("standing", "asked", "says"),
    [
        (Standing.STATED, "year", "The year you gave, 1999, does not fit the rest: can you check it?"),
        (Standing.HEDGED, "pack_voltage", "You thought the pack_voltage might be 48 V: can you confirm that?"),
    ],
    ids=["all-sure", "one-not-sure"],
)
def test_of_facts_that_cannot_all_be_true_the_least_sure_is_looked_at_again(standing, asked, says):
    known = LARK | held(fact("year", 1999), fact("pack_voltage", 48, standing))
    told = Told(contradicted=frozenset({"model", "year", "pack_voltage"}))
    (gap,) = ask([candidate(0.9)], known, states=ANY, told=told)
    assert (gap.fact, gap.ask) == (asked, says)


@pytest.mark.parametrize("list_kind", ["list", "text"], ids=["a-list", "set-aside"])
def test_lists_and_what_decides_nothing_are_not_asked_because_they_are_needed(list_kind):
    kinds = {"use": replace(kind("use"), kind=list_kind, aside=True)}
    assert names([candidate(0.9, needs=("use",))], kinds=kinds, states=ANY) == []


def test_the_story_is_asked_for_only_when_nothing_at_all_was_told():
    kinds = {"symptom": replace(kind("symptom"), kind="list")}
    unlikely = [candidate(0.1)]
    assert names(unlikely, kinds=kinds, states=ANY) == ["symptom"]
    assert names(unlikely, held(fact("intent", "diagnose")), kinds=kinds, states=ANY) == []
    assert names([candidate(0.9)], kinds=kinds, states=ANY) == []


def test_what_is_found_in_the_same_place_stands_together():
    likely = [candidate(1.0, (), ("year", "wheel_stud", "make"))]
    place = {"year": "plate", "make": "plate", "wheel_stud": "wheels"}
    efforts = {"year": 1, "wheel_stud": 2, "make": 3}
    kinds = {id: replace(kind(id, effort), place=place[id]) for id, effort in efforts.items()}
    assert names(likely, LARK, kinds=kinds, states=ANY) == ["year", "make", "wheel_stud"]

"""The simulated asker tells what the label and its vehicle know; rounds and costs are counted right."""

from __future__ import annotations

from pathlib import Path

import pytest

from eval.dialogue import MOST_ROUNDS, POLICIES, Dialogue, asker_for, by_list, hold, right_answers
from eval.labels import Labelled, ToldFact, load_labels
from eval.repairs import LAST_RESORT, ORDERS, Case, compare, draw, price
from eval.resample import bootstrap
from eval.shops import shops
from triage.engine import open_engine
from triage.model import CauseBelief, Decision, Match, Question, Reading, Standing
from triage.pack import load
from triage.pack.schema import Check, Outcome
from triage.pipeline import read

KNOWLEDGE = Path(__file__).parents[2] / "knowledge"


@pytest.fixture(scope="module")
def pack():
    return load(KNOWLEDGE)


def label(answer: str, *facts: tuple[str, object], symptoms: tuple[str, ...] = (), **more) -> Labelled:
    told = [ToldFact(name, value, Standing.STATED) for name, value in facts]  # type: ignore[arg-type]
    fixed = {"voice": "plain", "text": "?", "intent": "diagnose", "decision": Decision.ASK}
    return Labelled(id="q", answer=answer, facts=told, symptoms=list(symptoms), **fixed, **more)


@pytest.mark.parametrize(
    ("told", "symptoms", "asked", "said"),
    [
        pytest.param([("model", "Lark"), ("pack_voltage", 36)], (), "pack_voltage", 36, id="what-the-label-tells"),
        pytest.param([("model", "Lark")], (), "pack_voltage", 36, id="what-the-vehicle-behind-it-has"),
        pytest.param([("model", "Lark")], (), "battery_count", 6, id="its-batteries"),
        pytest.param([("model", "Lark")], (), "budget", None, id="what-nobody-knows"),
        pytest.param([("model", "Lark")], ("clicks_no_move",), "solenoid_click", "yes", id="it-clicks"),
        pytest.param([("model", "Lark")], ("no_click_no_move",), "solenoid_click", "no", id="it-does-not"),
        pytest.param([("model", "Lark")], (), "solenoid_click", None, id="not-heard"),
        pytest.param([("make", "Zemm")], (), "pack_voltage", 36, id="unlisted-by-what-the-answer-is-for"),
        pytest.param([("make", "Zemm")], (), "battery_count", None, id="unlisted-and-not-known"),
    ],
)
def test_what_the_asker_says(pack, told, symptoms, asked, said):
    """charge-lark-36-will-not-charge is for the 36 V Lark of 1996 to 2007: six batteries of 6 V (knowledge/shop)."""
    asker = asker_for(label("charge-lark-36-will-not-charge", *told, symptoms=symptoms), pack)
    assert asker.tell(asked) == said


def test_the_year_told_is_one_for_which_the_answer_is_right(pack):
    asker = asker_for(label("petrol-drive-belt-ridge-p-from-2007", ("model", "Ridge P")), pack)
    assert 2007 <= int(str(asker.tell("year"))) <= 2018


def test_of_the_accepted_answers_only_those_for_the_vehicle_are_right(pack):
    found = asker_for(
        label(
            "charge-lark-36-will-not-charge", ("model", "Lark"),
            also_ok=["charge-lark-48-will-not-charge", "charge-general-will-not-charge"],
        ),
        pack,
    )  # fmt: skip
    assert right_answers(found, pack) == {"charge-lark-36-will-not-charge", "charge-general-will-not-charge"}


@pytest.mark.parametrize(
    ("right", "asked", "rounds", "questions", "ends_right"),
    [
        ((True,), (), 0, 0, True),
        ((False, True), (3,), 1, 3, True),
        ((True, False, True), (2, 1), 2, 3, True),
        ((True, False), (2,), MOST_ROUNDS, 2, False),
        ((False,), (), MOST_ROUNDS, 0, False),
    ],
    ids=["at-once", "after-one", "right-lost-and-found", "led-astray", "never-asked"],
)
def test_how_a_dialogue_is_counted(right, asked, rounds, questions, ends_right):
    talk = Dialogue(right, asked)
    assert (talk.rounds, talk.questions, talk.ends_right) == (rounds, questions, ends_right)


def test_list_order_asks_what_the_best_answer_needs_and_was_not_told(pack):
    needs = pack.answer("charge-lark-36-will-not-charge").needs
    reading = Reading("q", matches=(Match("charge-lark-36-will-not-charge", 0.9),))
    assert by_list(reading, pack) == [name for name in needs if pack.facts[name].ask]
    assert by_list(Reading("q"), pack) == []


@pytest.fixture(scope="module")
def stages():
    return open_engine(KNOWLEDGE)


def test_a_dialogue_ends_and_asks_nothing_twice(stages):
    """A tuning question whose label says that the year decides: the Tern with a carburettor, or with injection."""
    (found,) = (item for item in load_labels(shops("demo")[0].questions) if item.id == "q064")
    first = read(Question(found.id, found.text, found.subject), stages)
    for policy in POLICIES.values():
        put: list[str] = []

        def heard(reading, pack, policy=policy, put=put):
            names = policy(reading, pack)
            put += [name for name in names if name not in put]
            return names

        talk = hold(found, first, asker_for(found, stages.pack), heard, stages)
        assert len(talk.asked) <= MOST_ROUNDS and all(0 < count <= 3 for count in talk.asked)
        assert talk.questions <= len(put) and len(talk.right) == len(talk.asked) + 1


CHEAP, DEAR = (
    Check(id=id, label=id, text=id, minutes=minutes, causes=[cause], outcomes=[Outcome("bad", "it")])
    for id, minutes, cause in (("cheap", 5, "a"), ("dear", 50, "b"))
)
TWICE = Check(id="twice", label="twice", text="twice", minutes=7, causes=["a"], outcomes=[Outcome("bad", "it")])


@pytest.mark.parametrize(
    ("fault", "order", "minutes"),
    [
        ("a", [CHEAP, DEAR], 5),
        ("b", [CHEAP, DEAR], 55),
        ("b", [CHEAP, TWICE, DEAR], 55),
        ("b", [DEAR, CHEAP], 50),
        ("c", [CHEAP, DEAR], 55 + LAST_RESORT),
    ],
    ids=["first", "second", "what-is-cleared-is-not-looked-at-twice", "other-way-round", "never-found"],
)
def test_what_finding_a_fault_costs(fault, order, minutes):
    case = Case(fault, {}, frozenset(), (CauseBelief("a", 0.5), CauseBelief("b", 0.5)), (CHEAP, TWICE, DEAR))
    assert price(case, order) == minutes


def test_the_same_seed_draws_the_same_faults(pack):
    first, again, other = (list(draw(pack, 20, seed)) for seed in (3, 3, 4))
    assert first == again and first != other
    assert all(case.symptoms & pack.causes[case.fault].symptoms.keys() for case in first)


def test_the_order_of_the_program_beats_the_simple_ones(pack):
    """Heckerman, Breese & Rommelse 1995: probability over cost. Intervals of the savings lie above nothing saved."""
    prices = compare(list(draw(pack, 200, seed=1)))
    for name in ORDERS.keys() - {"the program"}:
        saved = [theirs - own for own, theirs in zip(prices["the program"], prices[name], strict=True)]
        assert bootstrap(saved)[0] > 0, name


def test_bootstrap_of_a_mean():
    """Against the normal interval of the mean of 0..99: 49.5 +- 1.96 x 28.87 / 10, within half a unit."""
    low, high = bootstrap([float(number) for number in range(100)])
    assert low == pytest.approx(49.5 - 5.66, abs=0.5) and high == pytest.approx(49.5 + 5.66, abs=0.5)
    with pytest.raises(ValueError, match="nothing to resample"):
        bootstrap([])

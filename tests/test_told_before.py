"""What an asker told in earlier threads is known, and is never asked again; vehicles and people are kept apart."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from toys import Words, fact

from triage.desk import read_open, take_in
from triage.engine import assemble
from triage.model import Address, Fact, Message, Standing
from triage.pack import load
from triage.store import Prior, Same, Store, Summary, ThreadState
from triage.told_before import carried, told_vehicles

KNOWLEDGE = Path(__file__).parents[1] / "knowledge"
START = datetime(2026, 10, 5, 8, 0, tzinfo=UTC)
NOW = START + timedelta(days=40)
LARK = (fact("make", "Tarvik"), fact("model", "Lark"))
RIDGE = (fact("make", "Ospren"), fact("model", "Ridge"))


def prior(thread: int, *facts: Fact, same: tuple[Same, ...] = (Same.ASKER,), days: float = 0) -> Prior:
    """An earlier thread with one message, whose facts were told in it."""
    told = tuple(f if f.message else fact_in(f, f"m{thread}") for f in facts)
    when = START + timedelta(days=days or thread)
    return Prior(thread, when, ThreadState.REPLIED, Summary(), "", told, same, "mail", (f"m{thread}",))


def fact_in(told: Fact, message: str) -> Fact:
    return fact(told.name, told.value, told.standing, vehicle=told.vehicle, message=message, basis="words: 'so'")


def known(priors: list[Prior], *now: Fact, another: bool = False) -> dict[str, object]:
    found = carried(told_vehicles(priors), now, NOW, may_be_another=another)
    return {f.name: f.value for f in found if f.name not in ("make", "model")}


V48, AGM = fact("pack_voltage", 48), fact("battery_chemistry", "agm")


@pytest.mark.parametrize(
    ("priors", "now", "expected"),
    [
        pytest.param([prior(1, *LARK, V48)], LARK, {"pack_voltage": 48}, id="make-and-model-agree"),
        pytest.param([prior(1, *LARK, V48)], (), {"pack_voltage": 48}, id="none-named-and-just-one-told"),
        pytest.param([prior(1, V48)], (), {"pack_voltage": 48}, id="none-ever-named"),
        pytest.param([prior(1, V48)], LARK, {}, id="named-now-and-not-then"),
        pytest.param([prior(1, *LARK, V48)], RIDGE, {}, id="another-model"),
        pytest.param([prior(1, *LARK, V48), prior(2, *RIDGE, AGM)], LARK, {"pack_voltage": 48}, id="one-of-two-carts"),
        pytest.param([prior(1, *LARK, V48), prior(2, *RIDGE, AGM)], (), {}, id="two-carts-and-none-named"),
        pytest.param([prior(1, *LARK, fact("year", 2012), V48), prior(2, *LARK, fact("year", 2016), AGM)], LARK, {},
                     id="two-of-one-model"),
        pytest.param([prior(1, *LARK, fact("year", 2012), V48), prior(2, *LARK, fact("year", 2016), AGM)],
                     (*LARK, fact("year", 2016)), {"battery_chemistry": "agm"}, id="told-apart-by-the-year"),
        pytest.param([prior(1, *LARK, fact("serial", "A-1"), V48)], (*LARK, fact("serial", "A-2")), {},
                     id="told-apart-by-the-serial"),
        pytest.param([prior(1, *LARK, V48)], (*LARK, fact("pack_voltage", 36)), {}, id="told-apart-by-the-voltage"),
        pytest.param([prior(1, *LARK, AGM)], (*LARK, fact("battery_chemistry", "lithium")), {},
                     id="what-is-told-now-counts"),
        pytest.param([prior(1, *LARK, AGM)], (*LARK, fact("battery_chemistry", "agm", Standing.DENIED)), {},
                     id="what-is-denied-now-is-gone"),
        pytest.param([prior(1, *LARK, AGM), prior(2, *LARK, fact("battery_chemistry", "lithium"))], LARK,
                     {"battery_chemistry": "lithium"}, id="the-latest-of-two"),
        pytest.param([prior(1, *LARK, V48, same=(Same.ADDRESS,))], LARK, {}, id="another-person-at-the-address"),
        pytest.param([prior(1, *LARK, V48, same=(Same.VEHICLE,))], LARK, {}, id="the-former-owner"),
        pytest.param([prior(1, *LARK, fact("symptom", "clicks_no_move"), fact("measurement", 47.1))], LARK, {},
                     id="the-trouble-of-then"),
        pytest.param([prior(1, *LARK, fact("lift", 3, Standing.PLANNED))], LARK, {}, id="a-plan"),
        pytest.param([prior(1, *LARK, V48)], (fact("model", "Ridge", Standing.OTHER),), {}, id="the-neighbours-cart"),
        pytest.param([prior(1, *LARK, V48, fact("make", "Ospren", vehicle=2), fact("model", "Ridge", vehicle=2))], (),
                     {}, id="two-carts-in-one-mail"),
    ],
)  # fmt: skip
def test_facts_carry_over_only_to_the_same_vehicle(priors, now, expected):
    assert known(priors, *now) == expected


def test_words_for_another_vehicle_carry_nothing_over():
    assert known([prior(1, *LARK, V48)], another=True) == {}


@pytest.mark.parametrize(("days", "carries"), [(1, True), (-200, False)])
def test_an_age_holds_for_half_a_year(days, carries):
    assert bool(known([prior(1, *LARK, fact("battery_age", 3), days=days)], *LARK)) == carries


def test_the_second_cart_of_an_earlier_mail_is_the_first_of_this_one():
    second = [fact(f.name, f.value, vehicle=2) for f in (*RIDGE, V48)]
    found = list(carried(told_vehicles([prior(1, *LARK, *second)]), RIDGE, NOW))
    assert {(f.name, f.vehicle) for f in found} >= {("pack_voltage", 1)}


def test_standing_stays_and_the_basis_names_thread_and_date():
    (told,) = [
        f
        for f in carried(told_vehicles([prior(3, *LARK, fact("pack_voltage", 48, Standing.HEDGED))]), LARK, NOW)
        if f.name == "pack_voltage"
    ]
    assert (told.standing, told.basis, told.message) == (Standing.HEDGED, "thread 3, 08 Oct 2026: 'so'", "m3")


def test_a_fact_is_carried_from_the_thread_it_was_told_in():
    """A thread that names no vehicle is read with what an earlier one told: what it adds is of that vehicle."""
    second = prior(2, *(fact(f.name, f.value, message="m1") for f in (*LARK, V48)), fact("tyre_size", "18x8.50-8"))
    found = list(carried(told_vehicles([prior(1, *LARK, V48), second]), LARK, NOW))
    assert {f.name: f.basis[:8] for f in found if f.name in ("pack_voltage", "tyre_size")} == {
        "pack_voltage": "thread 1", "tyre_size": "thread 2",
    }  # fmt: skip


# With the real reader, from mail to draft


@pytest.fixture(scope="module")
def stages(tmp_path_factory):
    return assemble(load(KNOWLEDGE), Words(), tmp_path_factory.mktemp("cache"))


def mail(id: str, text: str, days: float, *, name: str = "Ida Fen") -> Message:
    return Message(
        id=f"{id}@mail.example", channel="mail", sender=Address("ida@mail.example", name), subject="Cart", text=text,
        sent=START + timedelta(days=days), raw=text.encode(),
    )  # fmt: skip


FIRST = mail("m1", "My 2012 Tarvik Lark, 48 V, flooded batteries, clicks but will not move.", 0)


def readings(tmp_path: Path, stages, *mails: Message):
    with Store.open(tmp_path / "queue.db", now=lambda: NOW) as store:
        take_in(mails, store, stages.pack)
        numbers = list(read_open(store, stages))
        return [store.thread(number).readings[0].reading for number in numbers]


@pytest.mark.parametrize("turned", [False, True])
def test_what_was_said_last_month_is_not_asked_again(tmp_path, stages, turned):
    """Whichever of the two mails is taken in first: the older thread is read first."""
    now = mail("m2", "My cart is slow. What can it be?", 30)
    told = readings(tmp_path, stages, *((now, FIRST) if turned else (FIRST, now)))[1]
    values = {f.name: (f.value, f.basis[:21]) for f in told.facts}
    assert values["pack_voltage"] == (48, "thread 2, 05 Oct 2026" if turned else "thread 1, 05 Oct 2026")
    assert {"make", "model", "year", "powertrain", "pack_voltage", "battery_chemistry"}.isdisjoint(
        gap.fact for gap in told.gaps
    )
    assert "clicks_no_move" not in {f.value for f in told.facts}


@pytest.mark.parametrize(
    "text",
    ["My other cart is slow. What can it be?", "My neighbour has an Ospren Ridge that is slow.", "My Ridge is slow."],
)
def test_another_vehicle_is_not_taken_for_the_one_told_of(tmp_path, stages, text):
    told = readings(tmp_path, stages, FIRST, mail("m2", text, 30))[1]
    assert not any(f.basis.startswith("thread ") for f in told.facts)


def test_another_person_at_the_address_is_not_taken_for_the_asker(tmp_path, stages):
    told = readings(tmp_path, stages, FIRST, mail("m2", "My Tarvik Lark is slow.", 30, name="Odd Fen"))[1]
    assert not any(f.basis.startswith("thread ") for f in told.facts)

"""What the same asker wrote or rang about before, and what is known of the same vehicle."""

from __future__ import annotations

from dataclasses import replace

import pytest

from triage.model import Address, Fact, Message, Reading, Standing
from triage.store import Prior, Same, Store, Summary, ThreadState
from triage.store.prior import Writer, _signed, is_same_person

from .mails import IDA, ODD, mail

NOBODY = Address("", "Ron Tapp")


def asked(store: Store, *messages: Message) -> tuple[Prior, ...]:
    """All of them taken in, each opening a thread; what was before the last one."""
    for message in messages:
        thread = store.take_in(message, by="intake").thread
    assert thread is not None
    return store.prior(thread)


def rang(id: str, number: str, *, hours: float = 0, sender: Address = NOBODY) -> Message:
    note = mail(id, sender=sender, hours=hours)
    return replace(note, channel="phone", notes=(f"rang from {number}",) if number else ())


def test_earlier_threads_of_the_same_address_are_found_newest_first(store: Store) -> None:
    prior = asked(store, mail("a", hours=0), mail("b", hours=1), mail("x", sender=ODD, hours=1), mail("c", hours=2))
    assert [(p.thread, p.same) for p in prior] == [(2, (Same.ASKER,)), (1, (Same.ASKER,))]


def test_a_later_thread_is_not_before(store: Store) -> None:
    assert asked(store, mail("a", hours=5), mail("b", hours=1)) == ()


def test_it_says_what_became_of_it(store: Store) -> None:
    store.take_in(mail("a@mail.example"), by="intake")
    reading = Reading("a@mail.example#1", (Fact("year", 2012), Fact("lift", 3), Fact("make", "Tarvik")))
    store.save_reading(1, reading, pack_digest="p", by="Wyn", summary=Summary("a Lark", "it clicks", ("year",)))
    store.set_fact(1, Fact("lift", 6, standing=Standing.STATED), by="Wyn")
    store.settle(1, by="Wyn", outcome="New solenoid")
    (prior,) = asked(store, mail("b", hours=9))
    assert (prior.state, prior.outcome, prior.summary.wrong) == (ThreadState.SETTLED, "New solenoid", "it clicks")
    assert {fact.name: fact.value for fact in prior.facts} == {"year": 2012, "lift": 6, "make": "Tarvik"}
    assert prior.messages == ("a@mail.example",) and prior.channel == "mail"


@pytest.mark.parametrize(
    ("first", "second", "same"),
    [
        pytest.param(rang("a", "555-0101"), rang("b", "(555) 0101", hours=1), (Same.ASKER,), id="name-and-number"),
        pytest.param(rang("a", "555-0101"), rang("b", "555-0199", hours=1), (), id="another-number"),
        pytest.param(rang("a", ""), rang("b", "", hours=1), (), id="a-name-alone-is-nobody"),
        pytest.param(rang("a", "555-0101"), rang("b", "555-0101", sender=replace(NOBODY, name="Spud"), hours=1), (),
                     id="another-name"),
        pytest.param(mail("a"), mail("b", sender=replace(IDA, name="Fen, I."), hours=1), (Same.ASKER,),
                     id="the-name-in-short"),
        pytest.param(mail("a"), mail("b", sender=replace(IDA, name=""), hours=1), (Same.ASKER,), id="no-name"),
        pytest.param(mail("a"), mail("b", sender=replace(IDA, name="Odd Fen"), hours=1), (Same.ADDRESS,),
                     id="two-people-at-one-address"),
        pytest.param(mail("a"), replace(mail("b", hours=1), signature="Cheers,\nOdd"), (Same.ADDRESS,),
                     id="signed-by-another"),
        pytest.param(mail("a"), replace(mail("b", hours=1), signature="Many thanks, Ida"), (Same.ASKER,),
                     id="signed-by-herself"),
        pytest.param(replace(mail("a", sender=Address("form@site.example", "Web form")), reply_to=IDA),
                     mail("b", hours=1), (Same.ASKER,), id="a-form-that-answers-to-her"),
        pytest.param(mail("a", automatic="bounce"), mail("b", hours=1), (), id="automatic"),
    ],
)  # fmt: skip
def test_who_is_the_same_asker(store: Store, first: Message, second: Message, same: tuple[Same, ...]) -> None:
    assert tuple(s for prior in asked(store, first, second) for s in prior.same) == same


@pytest.mark.parametrize(
    ("signature", "name"),
    [
        ("Thanks,\nJo\n555-0101", "Jo"),
        ("Many thanks and kind regards, Jo Marsh", "Jo Marsh"),
        ("Cheers\njo\n\nSent from my handset", "jo"),
        ("-- \nJo\nRiver Farm", "Jo"),
        ("Cheers", ""),
        ("Sent from my handset", ""),
        ("PW", ""),
        ("", ""),
    ],
)
def test_the_name_under_a_mail(signature: str, name: str) -> None:
    assert _signed(signature) == name


def test_people_without_any_mark_are_never_the_same() -> None:
    assert not is_same_person(Writer("", "", "Ron", "phone"), Writer("", "", "Ron", "phone"))


@pytest.mark.parametrize(
    ("facts", "same"),
    [
        pytest.param((Fact("serial", "TL12-1"),), [(Same.VEHICLE,)], id="serial-whoever-asks"),
        pytest.param((Fact("serial", "TL12-2"),), [], id="another-serial"),
        pytest.param(
            (Fact("make", "Tarvik"), Fact("model", "Lark"), Fact("year", 2012)), [], id="a-like-one-of-another"
        ),
    ],
)
def test_a_vehicle_is_known_by_its_serial(store: Store, facts: tuple[Fact, ...], same: list[object]) -> None:
    lark = (Fact("make", "Tarvik"), Fact("model", "Lark"), Fact("year", 2012))
    store.take_in(mail("a@mail.example"), by="intake")
    read(store, 1, Fact("serial", "TL12-1"), *lark)
    store.take_in(mail("b@mail.example", sender=ODD, hours=1), by="intake")
    read(store, 2, *facts)
    assert [prior.same for prior in store.prior(2)] == same


@pytest.mark.parametrize(("year", "same"), [(2012, (Same.ASKER, Same.VEHICLE)), (2016, (Same.ASKER,))])
def test_a_vehicle_of_the_same_asker_is_known_by_make_model_and_year(
    store: Store, year: int, same: tuple[Same, ...]
) -> None:
    for number, told in enumerate((2012, year), start=1):
        store.take_in(mail(f"{number}@mail.example", hours=number), by="intake")
        read(store, number, Fact("make", "Tarvik"), Fact("model", "Lark"), Fact("year", told))
    assert store.prior(2)[0].same == same


def read(store: Store, thread: int, *facts: Fact) -> None:
    store.save_reading(thread, Reading(f"q{thread}", facts), pack_digest="p", by="Wyn")


def test_many_earlier_threads_are_bounded_to_the_newest(store: Store) -> None:
    prior = asked(store, *(mail(f"{n}@mail.example", hours=n / 60) for n in range(60)))
    assert [p.thread for p in prior] == list(range(59, 9, -1))

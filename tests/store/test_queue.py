"""The queue and the search: what is listed, in which order, and that nothing typed can break them."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from triage.model import Address, Decision, Fact, HazardNote, Reading, Signal
from triage.store import EVERY, FOUND_MARKS, NO_DANGER, UNREAD, Filters, Store, Summary, ThreadState

from .mails import IDA, ODD, mail

HAPPENING = HazardNote("smoke_heat", Signal.DANGER, "Stop.", urgent=True)
POSSIBLE = HazardNote("acid", Signal.WARNING, "Gloves.")


def reading(*hazards: HazardNote, decision: Decision = Decision.ASK, **facts: str | int) -> Reading:
    return Reading(
        "q",
        facts=tuple(Fact(name, value) for name, value in facts.items()),
        hazards=hazards,
        decision=decision,
    )


@pytest.fixture
def shop(store: Store) -> Store:
    """1 is harmless, 2 and 4 hold a possible danger (4 waits longer), 3 a present one; 5 is settled."""
    arrivals = (
        ("my cart only clicks", IDA, 0.0),
        ("the charger hums", ODD, 4.0),
        ("the wires smoke", IDA, 5.0),
        ("acid on the 18x8.50-8 tyre", ODD, 3.0),
        ("thank you, it runs", IDA, 1.0),
    )
    for n, (text, sender, hours) in enumerate(arrivals, start=1):
        store.take_in(mail(f"m{n}@mail.example", text, sender=sender, subject=f"Cart {n}", hours=hours), by="intake")
    saved = {
        1: (reading(powertrain="petrol"), Summary("a Wren", "clicks", ("year",))),
        2: (reading(POSSIBLE, decision=Decision.ANSWER, powertrain="electric", pack_voltage=48), Summary()),
        3: (
            reading(HAPPENING, decision=Decision.HAND_OVER, powertrain="electric", pack_voltage=36),
            Summary(),
        ),
        4: (reading(POSSIBLE, powertrain="electric", pack_voltage=48), Summary("", "", ("year", "make"))),
    }
    for thread, (read, summary) in saved.items():
        store.save_reading(thread, read, pack_digest="p", by="program", summary=summary)
    store.settle(5, by="Wyn")
    return store


@pytest.mark.parametrize(
    ("filters", "threads"),
    [
        pytest.param(Filters(), [3, 4, 2, 1], id="open-by-danger-then-waiting"),
        pytest.param(Filters(states=EVERY), [3, 5, 4, 2, 1], id="every-state"),
        pytest.param(Filters(states=(ThreadState.SETTLED,)), [5], id="settled"),
        pytest.param(Filters(decision=Decision.ASK), [4, 1], id="decision"),
        pytest.param(Filters(danger_up_to=3), [3], id="happening"),
        pytest.param(Filters(danger_up_to=8), [3, 4, 2], id="any-danger"),
        pytest.param(Filters(asker="odd@POST"), [4, 2], id="asker-by-address"),
        pytest.param(Filters(asker="Fen"), [3, 1], id="asker-by-name"),
        pytest.param(Filters(missing="year"), [4, 1], id="missing"),
        pytest.param(Filters(facts={"pack_voltage": 48}), [4, 2], id="fact"),
        pytest.param(Filters(facts={"pack_voltage": 48.0, "powertrain": "electric"}), [4, 2], id="two-facts"),
        pytest.param(Filters(facts={"pack_voltage": 48, "powertrain": "petrol"}), [], id="no-such-pair"),
        pytest.param(Filters(limit=2), [3, 4], id="first-page"),
        pytest.param(Filters(limit=2, offset=2), [2, 1], id="second-page"),
        pytest.param(Filters(states=()), [], id="no-state"),
    ],
)
def test_the_queue_lists_what_every_filter_lets_through(shop: Store, filters: Filters, threads: list[int]) -> None:
    assert [row.thread for row in shop.queue(filters)] == threads


def test_a_row_says_all_a_person_needs_to_choose(shop: Store) -> None:
    row = shop.queue()[-1]
    assert (row.thread, row.asker, row.subject, row.state, row.danger, row.decision, row.messages) == (
        1, IDA, "Cart 1", ThreadState.NEW, NO_DANGER, Decision.ASK, 1,
    )  # fmt: skip
    assert row.summary == Summary("a Wren", "clicks", ("year",))


def test_what_was_not_read_yet_has_no_decision(store: Store) -> None:
    store.take_in(mail(), by="intake")
    (row,) = store.queue()
    assert (row.decision, row.danger, row.summary) == (None, UNREAD, Summary())


def test_what_was_not_read_stands_before_what_is_only_possible(shop: Store) -> None:
    shop.reopen(5, by="Wyn")
    assert [row.thread for row in shop.queue()] == [3, 5, 4, 2, 1]
    shop.take_in(mail("m6@mail.example", "now it smokes", refs=("m1@mail.example",), hours=6), by="intake")
    assert [row.thread for row in shop.queue()] == [3, 1, 5, 4, 2]


def test_an_asker_is_found_whatever_the_case_of_letters(store: Store) -> None:
    store.take_in(mail(sender=Address("a@mail.example", "Åsa Ödmark")), by="intake")
    assert len(store.queue(Filters(asker="åsa ÖD"))) == 1


def test_counts_name_every_state(shop: Store) -> None:
    counts = shop.counts()
    assert set(counts) == set(ThreadState)
    assert (counts[ThreadState.NEW], counts[ThreadState.SETTLED], counts[ThreadState.REPLIED]) == (4, 1, 0)


@pytest.mark.parametrize(
    ("words", "threads"),
    [
        pytest.param("clicking", [1], id="stem"),
        pytest.param("smok", [3], id="unfinished-last-word"),
        pytest.param("smok wires", [], id="unfinished-earlier-word"),
        pytest.param("IDA fen", [1, 3, 5], id="asker"),
        pytest.param("odd@post.example", [2, 4], id="address"),
        pytest.param("cart 3", [3], id="subject"),
        pytest.param("18x8.50-8", [4], id="tyre-size"),
        pytest.param('"charger', [2], id="open-quote"),
        pytest.param("charger -hums", [2], id="minus-is-no-operator"),
        pytest.param("charger OR wires", [], id="or-is-a-word"),
        pytest.param("subject:cart", [], id="column-filter-is-no-operator"),
        pytest.param("  ", [], id="blank"),
        pytest.param('-- :: * "', [], id="only-signs"),
    ],
)
def test_search_finds_every_word_whatever_signs_are_typed(shop: Store, words: str, threads: list[int]) -> None:
    assert sorted(row.thread for row in shop.search(words)) == threads


def test_search_shows_the_words_in_their_place(shop: Store) -> None:
    start, end = FOUND_MARKS
    (row,) = shop.search("smoke")
    assert row.found == f"the wires {start}smoke{end}"


def test_search_can_be_filtered(shop: Store) -> None:
    assert [row.thread for row in shop.search("ida", Filters(danger_up_to=3))] == [3]


def test_a_thread_is_found_once_by_its_best_message(store: Store) -> None:
    store.take_in(mail(text="solenoid"), by="intake")
    store.take_in(mail("m2@mail.example", "solenoid solenoid", refs=("m1@mail.example",)), by="intake")
    assert len(store.search("solenoid")) == 1


@given(words=st.text(max_size=30) | st.text(alphabet='"*:-^(){}+ANDORNEAR \x00\ud800', max_size=30))
@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_nothing_typed_breaks_the_search(shop: Store, words: str) -> None:
    found = {row.thread for row in shop.search(words)}
    assert found <= {1, 2, 3, 4, 5}
    shop.queue(Filters(asker=words, missing=words, facts={words: words}))

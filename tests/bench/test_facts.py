"""A person's word on a fact: it holds, everything is read again, and it can be taken back."""

from __future__ import annotations

import pytest

from triage.bench.correcting import said_of
from triage.desk import READER
from triage.model import Fact, Span, Standing
from triage.unusable import Unusable

from .forms import letter, post

LARK = 1


def say(client, how: str, name: str, was: str = "", value: str = "", **more: object):
    data = {"how": how, "name": name, "was": was, "value": value, "vehicle": "1"}
    return post(client, f"/question/{LARK}/fact", data | more)


def known(store) -> dict[str, tuple[object, Standing]]:
    reading = store.thread(LARK).readings[0].reading
    return {fact.name: (fact.value, fact.standing) for fact in reading.facts if fact.name != "symptom"}


def test_what_a_person_says_holds_in_place_of_what_was_read(client, store):
    assert known(store)["pack_voltage"] == (48, Standing.HEDGED)
    answer = say(client, "is", "pack_voltage", "48", "36")
    assert known(store)["pack_voltage"] == (36, Standing.STATED)
    assert "Read again" in answer.text


def test_what_is_not_so_stays_as_denied(client, store):
    say(client, "is_not", "model", "Lark")
    assert known(store)["model"] == ("Lark", Standing.DENIED)


def test_a_fact_is_added(client, store):
    say(client, "is", "battery_chemistry", value="agm")
    assert known(store)["battery_chemistry"] == ("agm", Standing.STATED)


def test_what_a_person_said_is_taken_back(client, store):
    say(client, "is", "pack_voltage", "48", "36")
    say(client, "back", "pack_voltage")
    assert known(store)["pack_voltage"] == (48, Standing.HEDGED)


def test_a_symptom_added_leaves_the_others(client, store, office):
    told = symptoms(store)
    more = next(s.id for s in office.stages.pack.symptoms.values() if s.id not in told and s.powertrain == "any")
    say(client, "is", "symptom", value=more)
    assert symptoms(store) >= {*told, more}


def symptoms(store) -> set[str]:
    facts = store.thread(LARK).readings[0].reading.facts
    return {str(fact.value) for fact in facts if fact.name == "symptom" and fact.standing.holds}


def test_a_symptom_denied_is_none_any_more(client, store):
    told = symptoms(store)
    say(client, "is_not", "symptom", sorted(told)[0])
    assert symptoms(store) == told - {sorted(told)[0]}


def test_words_typed_into_the_reply_survive_the_new_reading(client, store):
    data = letter(store, LARK, more="Half a thought.") | {"how": "is", "name": "year", "was": "2012", "value": "2013"}
    answer = post(client, f"/question/{LARK}/fact", data | {"vehicle": "1"})
    drafts = store.thread(LARK).drafts
    assert [draft.by for draft in drafts] == [READER, "Wyn", READER]
    assert "Half a thought." in drafts[1].draft.body
    assert "Yours is kept as version 2" in answer.text


@pytest.mark.parametrize(
    ("name", "value", "says"),
    [
        ("pack_voltage", "banana", "not a number"),
        ("year", "1066", "outside"),
        ("powertrain", "steam", "not one of its values"),
        ("colour", "red", "There is no fact"),
    ],
)
def test_what_cannot_be_is_told_and_changes_nothing(client, store, name, value, says):
    answer = say(client, "is", name, value=value)
    assert answer.status_code == 422
    assert says in answer.text
    assert not store.thread(LARK).facts


def test_the_form_offers_the_packs_values(client):
    page = client.get(f"/question/{LARK}/fact?name=powertrain&value=electric").text
    assert "petrol" in page
    assert client.get(f"/question/{LARK}/fact").text.count("<option") > 20


def symptom(value: str, standing: Standing = Standing.STATED) -> Fact:
    return Fact("symptom", value, standing=standing, span=Span(0, 4), basis="words: 'told'")


@pytest.mark.parametrize(
    ("was", "value", "how", "expected"),
    [
        pytest.param("a", "c", "is", {"b": "stated", "c": "stated", "d": "denied"}, id="in-place-of"),
        pytest.param("a", "a", "is_not", {"a": "denied", "b": "stated", "d": "denied"}, id="denied"),
        pytest.param("d", "d", "is", {"a": "stated", "b": "stated", "d": "stated"}, id="is-so-after-all"),
        pytest.param("", "c", "is", {"a": "stated", "b": "stated", "c": "stated", "d": "denied"}, id="added"),
    ],
)
def test_facts_that_repeat_keep_the_others(office, was, value, how, expected):
    ids = dict(zip("abcd", list(office.stages.pack.symptoms)[:4], strict=True))
    facts = [symptom(ids["a"]), symptom(ids["b"]), symptom(ids["d"], Standing.DENIED)]
    said = said_of(facts, "symptom", 1, ids.get(was, ""), ids[value], how, office.stages.pack, "Wyn")
    assert {fact.value: fact.standing.value for fact in said} == {ids[k]: v for k, v in expected.items()}
    assert all(fact.span is None and fact.basis == "set by Wyn" for fact in said)


def test_a_measurement_keeps_what_was_measured(office):
    read = Fact("measurement", 38.2, "V", span=Span(0, 4), what="pack voltage", condition="at rest")
    (said,) = said_of([read], "measurement", 1, "38.2", "36.2", "is", office.stages.pack, "Wyn")
    assert (said.value, said.unit, said.what, said.condition) == (36.2, "V", "pack voltage", "at rest")


def test_a_fact_of_no_value_is_refused(office):
    with pytest.raises(Unusable):
        said_of([], "pack_voltage", 1, "", "", "is", office.stages.pack, "Wyn")

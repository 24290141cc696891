"""Names that no catalogue lists: which words are taken for one, and which are not."""

from __future__ import annotations

from pathlib import Path

import pytest

from triage.facts import FactReader
from triage.pack import load


@pytest.fixture(scope="module")
def reader() -> FactReader:
    return FactReader(load(Path("knowledge")))


def _names(reader: FactReader, text: str) -> set[tuple[str, str]]:
    facts = reader.read(reader.language.annotate(text))
    return {(fact.name, str(fact.value)) for fact in facts if fact.name in ("make", "model")}


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("the zelingrow hopper just clicks", {("make", "zelingrow"), ("model", "hopper")}),
        ("BRANOQUIST GOES NO FASTER THAN 13", {("make", "BRANOQUIST")}),
        ("what nuts fit the Garomere", {("make", "Garomere")}),
        ("Our Pebble keeps blowing its fuse.", {("make", "Pebble")}),
        ("a 2012 hamper, 36 volt", {("make", "hamper")}),
        ("Yarquist V4, eight sixes, flat", {("make", "Yarquist"), ("model", "V4")}),
        ("Make: Selvane\nModel: Otter petrol\nYear: 2006", {("make", "Selvane"), ("model", "Otter")}),
        ("change the sensor in Welerdale Acorn 36 V", {("make", "Welerdale"), ("model", "Acorn")}),
    ],
)
def test_a_word_that_nobody_lists_is_the_vehicle(reader: FactReader, text: str, names: set[tuple[str, str]]) -> None:
    assert _names(reader, text) == names


@pytest.mark.parametrize(
    "text",
    [
        "We live near Polquarne and the cart is dead.",  # a place
        "The charger hums.\nThanks, Tresselyn",  # a person
        "my brother Quillan put the batteries in",  # a person
        "heello, the somebdy who fixed it is gone",  # slips
        "it stood in the boatshed all winter",  # two words written as one
        "you'll have to equalise them, they'll sulphate",  # short forms and British spelling
        "had the motor out and cleaned the commutator",  # a word of the trade
        "MAKE A COMPLAINT, AND READ IT",  # capitals throughout say nothing
    ],
)
def test_a_slip_a_place_or_a_person_is_no_vehicle(reader: FactReader, text: str) -> None:
    assert _names(reader, text) == set()


def test_what_stands_beside_an_unlisted_name_is_read_as_beside_a_listed_one(reader: FactReader) -> None:
    facts = reader.read(reader.language.annotate("05 selvane 36 dead as a stone"))
    assert {("year", 2005), ("make", "selvane"), ("pack_voltage", 36)} <= {(f.name, f.value) for f in facts}

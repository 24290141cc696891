"""Another way of saying the same: the text changes, the labels move along."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from eval.labels import Labelled, ToldFact
from eval.variations import CHANGES, Given
from triage.facts import FactReader
from triage.model import Standing
from triage.pack import load


@pytest.fixture(scope="module")
def reader() -> FactReader:
    return FactReader(load(Path("knowledge")))


def _label(text: str, *facts: ToldFact) -> Labelled:
    return Labelled("q", "plain", text, "diagnose", "answer", None, facts=list(facts))


def _varied(reader: FactReader, kind: str, label: Labelled) -> Labelled:
    document = reader.language.annotate(label.text)
    return CHANGES[kind](Given(label, document, load(Path("knowledge")), Random("one"), 1))


@pytest.mark.parametrize(
    ("kind", "text", "varied"),
    [
        ("number words", "48 volts, 6 batteries at 6.3.", "forty eight volts, six batteries at six point three."),
        ("figures", "forty eight volts, six batteries", "48 volts, 6 batteries"),
        ("joined units", "48 volt, 6 x 8 V", "48volt, 6x8V"),
        ("decimal comma", "6.3 each", "6,3 each"),
        ("metric", "does 20 mph with a 4 inch lift", "does 32.2 km/h with a 102 mm lift"),
        ("no marks", "Lark, 36 V. It reads 6.3!", "lark 36 v it reads 6.3"),
        ("american", "petrol, new tyres", "gas, new tires"),
        ("capitals", "no lift", "NO LIFT"),
    ],
)
def test_the_text_is_said_otherwise(reader: FactReader, kind: str, text: str, varied: str) -> None:
    assert _varied(reader, kind, _label(text)).text == varied


def test_a_listed_name_becomes_one_that_no_shop_lists_and_its_label_with_it(reader: FactReader) -> None:
    told = ToldFact("model", "Lark", Standing.STATED)
    varied = _varied(reader, "invented names", _label("My Lark hums.", told))
    names = {str(fact.value) for fact in varied.facts}
    assert "Lark" not in varied.text
    assert names and all(name in varied.text for name in names)


def test_the_same_seed_gives_the_same_text(reader: FactReader) -> None:
    label = _label("The controller stopped yesterday and nothing happens since.")
    assert _varied(reader, "mistyped", label) == _varied(reader, "mistyped", label)

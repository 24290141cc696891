"""A model name without its last word, where the make lists no model called just that."""

from __future__ import annotations

from pathlib import Path

import pytest

from triage.facts import FactReader
from triage.pack import load
from triage.pack.importing import import_tables

# An invented catalogue: a Perch is always a Perch 36 or a Perch 48; a plain Dabchick is listed beside the Dabchick Li.
VEHICLES = """make,model,year_from,year_to,powertrain,pack_voltage,batteries
Quillarne,Perch 36,2009,2015,electric,36,3x12
Quillarne,Perch 48,2014,2023,electric,48,4x12
Quillarne,Dabchick,2001,2012,electric,48,6x8
Quillarne,Dabchick Li,2018,,electric,48,1x51.2
"""


@pytest.fixture(scope="module")
def reader(tmp_path_factory: pytest.TempPathFactory) -> FactReader:
    folder = tmp_path_factory.mktemp("stems")
    (folder / "vehicles.csv").write_text(VEHICLES, encoding="utf-8")
    import_tables(folder / "vehicles.csv", None, folder / "pack")
    return FactReader(load(Path(folder / "pack")))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("the seat of our Perch has split", {("model", "Perch"), ("make", "Quillarne"), ("powertrain", "electric")}),
        ("our Perch with four sealed batteries", {("model", "Perch"), ("model", "Perch 48"), ("pack_voltage", 48)}),
        ("a 36 volt Perch", {("model", "Perch"), ("model", "Perch 36"), ("pack_voltage", 36)}),
        ("my Perch 48", {("model", "Perch 48")}),
        ("my Dabchick", {("model", "Dabchick")}),
        ("is the Dabchick Li pack 12s or 16s", {("model", "Dabchick Li")}),
    ],
)
def test_what_a_short_name_tells(reader: FactReader, text: str, told: set[tuple[str, object]]) -> None:
    facts = reader.read(reader.language.annotate(text))
    assert told <= {(fact.name, fact.value) for fact in facts if fact.standing.holds}


def test_li_in_a_name_is_the_name_and_the_catalogue_adds_the_kind(reader: FactReader) -> None:
    facts = reader.read(reader.language.annotate("is the Dabchick Li pack 12s or 16s"))
    assert [fact.standing.value for fact in facts if fact.name == "battery_chemistry"] == ["inferred"]

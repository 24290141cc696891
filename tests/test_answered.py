"""Short answers in many voices, read in the context of what was asked. Each line is one letter."""

from __future__ import annotations

from pathlib import Path

import pytest

from triage.answered import Asked, answers_in
from triage.facts import FactReader
from triage.pack import load

KNOWLEDGE = Path(__file__).parents[1] / "knowledge"


@pytest.fixture(scope="module")
def pack():
    return load(KNOWLEDGE)


@pytest.fixture(scope="module")
def reader(pack):
    return FactReader(pack)


def heard(asked, text, pack, reader):
    """Everything the letter tells of what was asked: by its own words, or in the context. "?" for cannot tell."""
    document = reader.language.annotate(text)
    told = reader.read(document)
    wanted = [one if isinstance(one, Asked) else Asked(one) for one in asked]
    found = answers_in(wanted, document, told, pack.facts)
    by_words = {f.name: f for f in told if f.standing.value in ("stated", "hedged", "corrected", "denied")}
    both = {**by_words, **{f.name: f for f in found.facts}}
    result = {one.fact: _shown(both[one.fact]) for one in wanted if one.fact in both}
    return result | dict.fromkeys(found.cannot_tell, "?")


def _shown(fact):
    mark = {"stated": "", "corrected": "", "hedged": "~", "denied": "not "}[fact.standing.value]
    return f"{mark}{fact.value}"


VOLTS, MANY = ["pack_voltage"], ["powertrain", "year", "pack_voltage"]
BOTH = ["solenoid_click", "engine_turns"]
LETTERS = [
    # one question, answered by a bare number
    (VOLTS, "48", {"pack_voltage": "48"}),
    (VOLTS, "48v", {"pack_voltage": "48"}),
    (VOLTS, "forty eight", {"pack_voltage": "48"}),
    (VOLTS, "Hi,\n\n36.\n\nThanks\nIda", {"pack_voltage": "36"}),
    (VOLTS, "its 36 i think", {"pack_voltage": "~36"}),
    (VOLTS, "48, no wait, sorry 36", {"pack_voltage": "36"}),
    (VOLTS, "Thats a 72 mate", {"pack_voltage": "72"}),
    (VOLTS, "maybe 48?", {"pack_voltage": "~48"}),
    (["year"], "2015", {"year": "2015"}),
    (["year"], "'08", {"year": "2008"}),
    (["year"], "about 2012 or so", {"year": "~2012"}),
    (["year"], "98", {"year": "1998"}),
    (["battery_count"], "six", {"battery_count": "6"}),
    (["battery_count"], "There's 8 of them", {"battery_count": "8"}),
    (["lift"], "3 inches", {"lift": "3"}),
    (["lift"], 'yes, 4"', {"lift": "4"}),
    (["lift"], "No", {"lift": "0"}),
    (["spacer"], "nope none", {"spacer": "0"}),
    (["top_speed"], "14", {"top_speed": "14"}),
    (["battery_age"], "3", {"battery_age": "3"}),
    (["battery_age"], "two years old", {"battery_age": "2"}),
    (["controller_current"], "350", {"controller_current": "350"}),
    (["charger_voltage"], "36", {"charger_voltage": "36"}),
    (["wheel_diameter"], "ten", {"wheel_diameter": "10"}),
    # which one
    (["powertrain"], "the second one", {"powertrain": "petrol"}),
    (["powertrain"], "The first.", {"powertrain": "electric"}),
    (["powertrain"], "latter", {"powertrain": "petrol"}),
    (["powertrain"], "former I think", {"powertrain": "~electric"}),
    (["powertrain"], "electric", {"powertrain": "electric"}),
    (["powertrain"], "its gas", {"powertrain": "petrol"}),
    (VOLTS, "the middle one, 48", {"pack_voltage": "48"}),
    (VOLTS, "the third one", {"pack_voltage": "72"}),
    (VOLTS, "2nd", {"pack_voltage": "48"}),
    (["battery_voltage"], "first one", {"battery_voltage": "6"}),
    (["battery_voltage"], "12s", {"battery_voltage": "12"}),
    (["battery_chemistry"], "the last one", {"battery_chemistry": "lithium"}),
    (["battery_chemistry"], "the first kind", {"battery_chemistry": "flooded"}),
    (["battery_chemistry"], "the second", {}),  # AGM or gel: which is not said
    (["battery_chemistry"], "AGM", {"battery_chemistry": "agm"}),
    (["direction_switch"], "the rocker", {"direction_switch": "rocker switch"}),
    (["direction_switch"], "lever", {"direction_switch": "mechanical lever"}),
    (["wheel_stud"], "the first", {"wheel_stud": "1/2-20"}),
    # yes and no
    (["solenoid_click"], "yes", {"solenoid_click": "yes"}),
    (["solenoid_click"], "Yep it does", {"solenoid_click": "yes"}),
    (["solenoid_click"], "nah nothing", {"solenoid_click": "no"}),
    (["engine_turns"], "no it doesn't", {"engine_turns": "no"}),
    (["engine_turns"], "aye", {"engine_turns": "yes"}),
    (["controller"], "as far as I know yes", {"controller": "~stock"}),
    (["controller"], "yes", {"controller": "stock"}),
    (["motor"], "No.", {"motor": "modified"}),
    ([Asked("pack_voltage", 48)], "yes that's right", {"pack_voltage": "48"}),
    ([Asked("pack_voltage", 48)], "correct", {"pack_voltage": "48"}),
    ([Asked("pack_voltage", 48)], "no", {"pack_voltage": "not 48"}),
    (VOLTS, "yes", {}),  # yes to "36, 48 or 72?" says nothing
    (["modification"], "no", {"modification": "?"}),
    (["measurement"], "nothing yet", {"measurement": "?"}),
    # two at once
    (BOTH, "yes to both", {"solenoid_click": "yes", "engine_turns": "yes"}),
    (BOTH, "both", {"solenoid_click": "yes", "engine_turns": "yes"}),
    (BOTH, "neither", {"solenoid_click": "no", "engine_turns": "no"}),
    (BOTH, "no to both", {"solenoid_click": "no", "engine_turns": "no"}),
    (BOTH, "yes and no", {"solenoid_click": "yes", "engine_turns": "no"}),
    (BOTH, "Yes. No.", {"solenoid_click": "yes", "engine_turns": "no"}),
    # cannot tell
    (VOLTS, "no idea", {"pack_voltage": "?"}),
    (VOLTS, "dunno sorry", {"pack_voltage": "?"}),
    (VOLTS, "I haven't a clue, I'm afraid", {"pack_voltage": "?"}),
    (VOLTS, "can't find it anywhere", {"pack_voltage": "?"}),
    (["serial"], "the plate is worn off", {"serial": "?"}),
    (["year"], "not sure", {"year": "?"}),
    (["make"], "idk", {"make": "?"}),
    # names
    (["make"], "Fenwright", {"make": "Fenwright"}),
    (["make"], "It's a Fenwright", {"make": "Fenwright"}),
    # several questions, in order, by number, by name, out of order
    (MANY, "electric, 2015, 48", {"powertrain": "electric", "year": "2015", "pack_voltage": "48"}),
    (MANY, "1) electric\n2) 2015\n3) 48", {"powertrain": "electric", "year": "2015", "pack_voltage": "48"}),
    (MANY, "1. the first 2. no idea 3. 36", {"powertrain": "electric", "year": "?", "pack_voltage": "36"}),
    (MANY, "48 and 2015, electric", {"powertrain": "electric", "year": "2015", "pack_voltage": "48"}),
    (MANY, "Electric\n2009\ndon't know", {"powertrain": "electric", "year": "2009", "pack_voltage": "?"}),
    (MANY, "year 2011\nvoltage 36", {"year": "2011", "pack_voltage": "36"}),
    (["battery_count", "battery_voltage"], "6 and 8", {"battery_count": "6", "battery_voltage": "8"}),
    (["battery_count", "battery_voltage"], "four 12s", {"battery_count": "4", "battery_voltage": "12"}),
    (["lift", "tyre_size"], "no\n22x9.50-10", {"lift": "0", "tyre_size": "22x9.50-10"}),
    (["year", "serial"], "2014, can't read the other", {"year": "2014", "serial": "?"}),
    (["solenoid_click", "pack_voltage"], "yes it clicks, 48", {"solenoid_click": "yes", "pack_voltage": "48"}),
    # no answer at all
    (VOLTS, "Thanks, I will have a look at the weekend.", {}),
    (["year"], "ok will do", {}),
    (MANY, "Do you sell seat covers?", {}),
    ([], "48", {}),
]


@pytest.mark.parametrize(("asked", "text", "tells"), LETTERS, ids=[repr(text) for _, text, _ in LETTERS])
def test_a_short_answer_tells_what_the_question_asked_for(asked, text, tells, pack, reader):
    assert heard(asked, text, pack, reader) == tells


@pytest.mark.parametrize(("asked", "text"), [(asked, text) for asked, text, tells in LETTERS if tells])
def test_every_fact_points_at_the_words_that_tell_it(asked, text, pack, reader):
    document = reader.language.annotate(text)
    wanted = [one if isinstance(one, Asked) else Asked(one) for one in asked]
    for fact in answers_in(wanted, document, reader.read(document), pack.facts).facts:
        assert text[fact.span.start : fact.span.end] in fact.basis and fact.span.end > fact.span.start

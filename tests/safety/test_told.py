"""Danger told in passing and in odd words is heard; calm look-alikes are not shouted at."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from triage.model import Decision, HazardNote, Question
from triage.pipeline import Stages, read
from triage.safety.standing import Standings
from triage.safety.words import HazardWords

TOLD = yaml.safe_load((Path(__file__).parent / "told.yaml").read_text(encoding="utf-8"))


def notes(text: str, stages: Stages) -> dict[str, HazardNote]:
    """Notes on what the asker tells, by hazard."""
    return {note.hazard: note for note in read(Question("t", text), stages).hazards if note.span}


def test_the_list_holds_every_hazard_three_times_and_calm_ones(stages: Stages) -> None:
    told = [hazard for row in TOLD for hazard in row["hazards"]]
    assert {h: told.count(h) for h in stages.pack.hazards if told.count(h) < 3} == {}
    assert sum(not row["hazards"] for row in TOLD) >= 50


def fired(texts: list[str], stages: Stages) -> dict[str, list[str]]:
    """Sentences on which a phrase fires, with what fired."""
    words, language = HazardWords(stages.pack.hazards.values()), stages.facts.language
    found = {text: [s.basis for s in words.find(Standings(language.annotate(text)))] for text in texts}
    return {text: signs for text, signs in found.items() if signs}


def test_phrases_fire_on_at_most_one_sentence_that_the_pack_calls_harmless(stages: Stages) -> None:
    """A phrase stands alone. Known: "we used to smell eggs until the bad battery was replaced" is read as present."""
    calm = [t for h in stages.pack.hazards.values() for t in h.calm]
    calm += [t for id, group in stages.pack.calm.items() if not id.startswith("harmless_") for t in group.sentences]
    assert len(fired(calm, stages)) <= 1, fired(calm, stages)


def test_phrases_fire_on_few_sentences_of_writers_who_did_not_know_them(stages: Stages) -> None:
    """A thousand harmless sentences written to sound alike; 26 were measured."""
    calm = [t for id, group in stages.pack.calm.items() if id.startswith("harmless_") for t in group.sentences]
    assert len(fired(calm, stages)) / len(calm) <= 0.03


@pytest.mark.parametrize(
    ("text", "hazard"),
    [
        ("you could fry an egg on that cable, what does a bracket cost?", "smoke_heat"),
        ("it has a mind of its own at junctions, and how much is a mirror?", "runaway"),
        ("the garage smells like struck matches after a night on charge. Price of a seat?", "hydrogen_gas"),
        ("My brakes are gone. Do you have a cup holder?", "brakes"),
        ("It leaks petrol on the floor. Which mat do you sell?", "fuel_vapour"),
        ("The lithium battery is swollen.", "lithium_damage"),
        ("I get a shock when I touch the cart on charge.", "electric_shock"),
    ],
)
def test_reported_danger_is_urgent_and_handed_over(stages: Stages, text: str, hazard: str) -> None:
    reading = read(Question("t", text), stages)
    assert [note.hazard for note in reading.hazards if note.urgent and note.hazard == hazard] == [hazard]
    assert reading.decision is Decision.HAND_OVER


@pytest.mark.parametrize(
    "text",
    [
        "no smoke, no smell, it just stopped",
        "That was a smoking deal, thank you.",
        "Do you have a bracket for the roof of a Tarvik Lark?",
        "My neighbour's cart caught fire last year.",
        "It smoked once in 2012, fixed since.",
        "There is no smell of petrol and the brakes are good.",
    ],
)
def test_calm_denied_past_and_other_peoples_do_not_push(stages: Stages, text: str) -> None:
    assert notes(text, stages) == {}


def test_planned_is_noted_without_urgency_unless_the_plan_can_kill(stages: Stages) -> None:
    assert not notes("What wheel nuts do I need for my alloy wheels?", stages)["wheel_nuts"].urgent
    assert notes("Can I charge them when they are frozen?", stages)["frozen_battery"].urgent


def test_fresh_sentences_are_read_no_worse_than_measured(stages: Stages) -> None:
    """Floors just under what was measured on told.yaml (precision 0.74, recall 0.58): far from the aim, kept honest."""
    right = wrong = missed = 0
    for row in TOLD:
        found, wanted = set(notes(row["text"], stages)), set(row["hazards"])
        right, wrong, missed = right + len(found & wanted), wrong + len(found - wanted), missed + len(wanted - found)
    assert right / (right + wrong) >= 0.70
    assert right / (right + missed) >= 0.55

"""Danger told in passing and in odd words is heard; calm look-alikes are not shouted at."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from triage.model import Decision, HazardNote, Question
from triage.pipeline import Stages, read
from triage.safety.seen import How
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


def fired(texts: list[str], stages: Stages, hows: set[How]) -> dict[str, list[str]]:
    """Sentences on which a phrase of these kinds fires, with what fired."""
    words, language = HazardWords(stages.pack.hazards.values()), stages.facts.language
    found = {t: [s.basis for s in words.find(Standings(language.annotate(t))) if s.how in hows] for t in texts}
    return {text: signs for text, signs in found.items() if signs}


def harmless(stages: Stages) -> list[str]:
    """Every sentence the pack calls harmless."""
    calm = [text for hazard in stages.pack.hazards.values() for text in hazard.calm]
    return calm + [text for group in stages.pack.calm.values() for text in group.sentences]


def test_phrases_fire_on_few_harmless_sentences(stages: Stages) -> None:
    """Eighteen hundred sentences, most by writers who did not know the phrases; a phrase is one sign among others."""
    texts = harmless(stages)
    assert len(fired(texts, stages, {How.REPORTED, How.PLANNED})) / len(texts) <= 0.03


def test_plans_which_are_noted_on_their_own_fire_on_hardly_any(stages: Stages) -> None:
    texts = harmless(stages)
    assert len(fired(texts, stages, {How.PLANNED})) / len(texts) <= 0.01


@pytest.mark.parametrize(
    ("text", "fires"),
    [
        ("the batteries froze solid", True),
        ("the batteries did not freeze", False),
        ("I can't smell any petrol", False),
        ("the brake won't hold on the slope", True),
    ],
)
def test_a_not_turns_a_phrase_unless_the_danger_is_the_not(stages: Stages, text: str, fires: bool) -> None:
    assert bool(fired([text], stages, {How.REPORTED})) is fires


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
        ("My boy got his hand burnt on the cable by the batteries. What size bolt holds the canopy?", "person_hurt"),
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
    """Floors just under what was measured on told.yaml (precision 0.75, recall 0.85): short of the aim, kept honest."""
    right = wrong = missed = 0
    for row in TOLD:
        found, wanted = set(notes(row["text"], stages)), set(row["hazards"])
        right, wrong, missed = right + len(found & wanted), wrong + len(found - wanted), missed + len(wanted - found)
    assert right / (right + wrong) >= 0.70
    assert right / (right + missed) >= 0.80

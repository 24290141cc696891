"""The notes themselves: signal words by their published meaning, and what each note must say."""

from __future__ import annotations

import pytest

from triage.model import Signal
from triage.pipeline import Stages
from triage.safety import Proposed


def test_signal_words_rank_by_severity() -> None:
    """ANSI Z535.4 4.14 and ISO 3864-2: DANGER will, WARNING could kill; CAUTION minor injury; NOTICE property."""
    assert sorted(Signal, key=lambda s: s.rank) == [Signal.DANGER, Signal.WARNING, Signal.CAUTION, Signal.NOTICE]


def test_no_hazard_to_people_is_a_notice(stages: Stages) -> None:
    """ANSI Z535.4 4.14.4: NOTICE is not for personal injury."""
    assert all(hazard.signal is not Signal.NOTICE for hazard in stages.pack.hazards.values())


@pytest.mark.parametrize(
    ("hazard", "signal"),
    [  # trade list of what stops a vehicle: the word for each (mapping: common practice, no source)
        ("brakes", "DANGER"),
        ("runaway", "DANGER"),
        ("fuel_vapour", "DANGER"),
        ("smoke_heat", "DANGER"),
        ("exhaust_indoors", "DANGER"),
        ("lithium_damage", "DANGER"),
        ("hydrogen_gas", "WARNING"),
        ("overcharging", "WARNING"),
        ("frozen_battery", "WARNING"),
        ("steering_wheels", "DANGER"),
        ("electric_shock", "WARNING"),
        ("acid", "DANGER"),
        ("person_hurt", "DANGER"),
    ],
)
def test_reported_dangers_stop_the_vehicle(stages: Stages, hazard: str, signal: str) -> None:
    record = stages.pack.hazards[hazard]
    assert (record.signal.value, record.stop, record.urgent) == (signal, True, True)


@pytest.mark.parametrize(
    ("hazard", "words", "source"),
    [
        ("hydrogen_gas", ("no smoking", "flames", "sparks", "air"), "29 CFR 1910.178(g)"),
        ("battery_weight", ("hoist", "clamp"), "29 CFR 1910.178(g)"),
        ("acid", ("15 minutes", "water", "medical"), "ANSI Z358.1, from memory"),
        ("road_use", ("local authority", "equipment"), "49 CFR 571.500"),
        ("stored_charge", ("main negative", "measured"), "29 CFR 1910.147"),
        ("raised_vehicle", ("chock", "stands", "jack alone"), "common practice, no source"),
        ("lithium_damage", ("fire service", "not charge"), "common practice, no source"),
        ("live_pack", ("rings", "insulated", "negative first off"), "common practice, no source"),
    ],
)
def test_notes_say_what_their_sources_ask(stages: Stages, hazard: str, words: tuple[str, ...], source: str) -> None:
    note = stages.pack.hazards[hazard].note.lower()
    assert [word for word in words if word not in note] == [], source


def test_what_only_the_work_may_bring_is_a_warning_at_most(stages: Stages) -> None:
    """ANSI Z535.4: DANGER is for what will hurt; the steps of a reply could."""
    notes = [stages.hazards.beside((), Proposed({name: "an answer"})) for name in stages.pack.hazards]
    signals = {note.hazard: note.signal for (note,) in notes}
    assert Signal.DANGER not in signals.values()
    assert signals["stored_charge"] is Signal.CAUTION
    assert not any(note.urgent or note.stop for (note,) in notes)

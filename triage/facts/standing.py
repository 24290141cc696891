"""How the asker stands to a fact, from the cues around it."""

from __future__ import annotations

from triage.facts.candidate import Candidate
from triage.language import Document
from triage.model import Standing

_NEVER_PLANNED = frozenset(
    {
        "make",
        "model",
        "year",
        "symptom",
        "measurement",
        "battery_age",
        "use",
        "solenoid_click",
        "engine_turns",
    }
)
_PAST_KINDS = frozenset(
    {
        "top_speed",
        "pack_voltage",
        "battery_chemistry",
        "battery_count",
        "powertrain",
        "measurement",
        "lift",
        "tyre_size",
        "controller",
    }
)
_OWN_DENIAL = frozenset({"symptom", "solenoid_click", "engine_turns"})  # their words may hold the denial


def standing_of(candidate: Candidate, document: Document) -> Standing:
    """The most decisive mark: another's vehicle, denial, plan, past, then hedge."""
    scopes, first, last = document.scopes, candidate.first, candidate.last
    if candidate.standing is not None and candidate.standing is not Standing.INFERRED:
        return Standing.OTHER if scopes.other(first, last) else candidate.standing
    if scopes.other(first, last):
        return Standing.OTHER
    if candidate.standing is Standing.INFERRED:
        return Standing.INFERRED
    if scopes.denied(first, last):
        return Standing.DENIED
    if candidate.name not in _NEVER_PLANNED and scopes.planned(first):
        return Standing.PLANNED
    if candidate.name in _PAST_KINDS and scopes.past(first):
        return Standing.PAST
    if scopes.hearsay(first) or scopes.hedged(first, last, numeric=isinstance(candidate.value, int | float)):
        return Standing.HEDGED
    return Standing.STATED

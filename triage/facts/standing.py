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
        "battery_voltage",
        "wheel_diameter",
        "motor",
    }
)


_NAMES = frozenset({"make", "model"})
_CHANGEABLE = frozenset("tyre_size wheel_diameter lift spacer controller controller_current motor".split())
_ASKING = frozenset("do does are is will would can could".split())
_JUDGING = frozenset("fit fits work ok okay clear hurt help too good better rub safe legal damage all suit do".split())
_HAVING = frozenset("my our has have got its with".split())
_ASK_REACH = 4  # words from the opening of a question to what it asks about
_JUDGED_REACH = 6  # words from there to the judgement asked for
_PREPOSITIONS = frozenset({"on", "in", "for", "with", "at", "from"})
_BUYING = frozenset({"buy", "buying", "purchase", "purchasing"})
_BOUGHT_REACH = 6  # words
_OWNING = frozenset({"my", "our", "his", "her", "their", "your"})


def standing_of(candidate: Candidate, document: Document) -> Standing:
    """The most decisive mark: another's vehicle, denial, plan, past, then hedge."""
    scopes, first, last = document.scopes, candidate.first, candidate.last
    if scopes.other(first, last):
        return Standing.OTHER
    if candidate.standing is not None:
        return candidate.standing
    if scopes.denied(first, last) and not _is_beside(candidate, document):
        return Standing.DENIED
    planned = scopes.planned(first) and not _is_bought(document, first)
    if candidate.name not in _NEVER_PLANNED and (planned or _is_asked(candidate, document)):
        return Standing.PLANNED
    if candidate.name in _PAST_KINDS and scopes.past(first):
        return Standing.PAST
    return Standing.HEDGED if _is_hedged(candidate, document) else Standing.STATED


def _is_asked(candidate: Candidate, document: Document) -> bool:
    """ "Do 23 inch tyres fit?", "is a 400 amp controller too much?": a change asked about."""
    first, last = candidate.first, candidate.last
    window = range(max(0, first - _ASK_REACH), first)
    opening = [i for i in window if document.same_sentence(i, first) and document.norm(i) in _ASKING]
    if candidate.name not in _CHANGEABLE or not opening or not _opens(document, opening[0]):
        return False
    before = {document.norm(i) for i in range(opening[0], first)}
    after = {document.norm(i) for i in range(last, min(last + _JUDGED_REACH, len(document.tokens)))}
    return bool(after & _JUDGING) and not before & _HAVING


def _opens(document: Document, index: int) -> bool:
    return index == 0 or not document.same_clause(index - 1, index)


def _is_beside(candidate: Candidate, document: Document) -> bool:
    """ "no lift on a NAME": the denial is of something on the vehicle."""
    near = (document.norm(i) for i in range(candidate.first - 3, candidate.first))
    return candidate.name in _NAMES and any(word in _PREPOSITIONS for word in near)


def _is_bought(document: Document, first: int) -> bool:
    """ "looking at buying a used NAME, 72 volts": the vehicle is wanted, and what it is is told."""
    names = document.before("name", first, _BOUGHT_REACH)
    words = (document.norm(i) for name in names for i in range(max(0, name.first - _BOUGHT_REACH), name.first))
    return any(word in _BUYING for word in words)


def _is_hedged(candidate: Candidate, document: Document) -> bool:
    scopes, first = document.scopes, candidate.first
    if candidate.name in _NAMES and _is_sure_name(document, first):
        return False
    numeric = isinstance(candidate.value, int | float)
    return scopes.hearsay(first) or scopes.hedged(first, candidate.last, numeric=numeric)


def _is_sure_name(document: Document, first: int) -> bool:
    """A name after "my" or after the number that is in doubt: "could be an 08 NAME"."""
    before = document.tokens[first - 1] if first else None
    return before is not None and (before.norm in _OWNING or before.kind in ("number", "year"))

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
        "error_code",
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
_OF_A_VEHICLE = _NAMES | {"year", "powertrain", "pack_voltage", "top_speed", "battery_chemistry"}
_CHANGEABLE = frozenset("tyre_size wheel_diameter lift spacer controller controller_current motor".split())
_ASKING = frozenset("do does are is will would can could which what".split())
_JUDGING = frozenset(
    "fit fits work ok okay clear hurt help too good better rub safe legal damage all suit do go".split()
)
_HAVING = frozenset("my our has have got its with".split())
_ARTICLES = frozenset({"a", "an", "the"})
_NEEDING = frozenset({"need", "needs"})
_ASK_REACH = 4  # words from the opening of a question to what it asks about
_ASKED_AFTER_REACH = 9
_JUDGED_REACH = 6  # words from there to the judgement asked for
_PREPOSITIONS = frozenset({"on", "in", "for", "with", "at", "from"})
_LEFT = frozenset("battery_chemistry pack_voltage tyre_size wheel_diameter controller_current powertrain".split())
_HAS_NOW = frozenset({("it", "has"), ("its", "got"), ("it", "wears"), ("on", "now")})
_WANTED_REACH = 8
_TOLD_OF_IT = frozenset(
    "year battery_count battery_voltage battery_chemistry pack_voltage powertrain top_speed".split()
)
_FORMER_REACH = 14
_DOUBT_REACH = 8  # words from two names to "can't read the badge"
_BUYING = frozenset({"buy", "buying", "purchase", "purchasing"})
_BOUGHT_REACH = 6  # words
_OWNING = frozenset({"my", "our", "his", "her", "their", "your"})


def standing_of(candidate: Candidate, document: Document, *, of_other: bool = True) -> Standing:
    """The most decisive mark: another's vehicle (with `of_other`), denial, plan, past, then hedge."""
    scopes, first, last = document.scopes, candidate.first, candidate.last
    if of_other and _is_of_other(candidate, document):
        return Standing.OTHER
    if candidate.standing is not None:
        return candidate.standing
    if candidate.name in _LEFT and _is_left(candidate, document):
        return Standing.STATED if _is_wanted(document, first) else Standing.PAST
    if scopes.denied(first, last) and not _is_beside(candidate, document):
        return Standing.DENIED
    planned = scopes.planned(first) and not _is_bought(document, first)
    wanted = (planned or _is_asked(candidate, document)) and not _is_there(document, first, last)
    if candidate.name not in _NEVER_PLANNED and wanted:
        return Standing.PLANNED
    if candidate.name == "modification" and scopes.undone(first, last):
        return Standing.PAST
    if candidate.name in _PAST_KINDS and scopes.past(first, last) and not _tells_which(document, first, last):
        return Standing.PAST
    return Standing.HEDGED if _is_hedged(candidate, document) else Standing.STATED


def _is_of_other(candidate: Candidate, document: Document) -> bool:
    told = candidate.standing is not Standing.INFERRED
    named = told and candidate.name in _OF_A_VEHICLE and document.scopes.other_named(candidate.first)
    named = named or (candidate.name in _TOLD_OF_IT and _is_of_former(candidate, document))
    return named or document.scopes.other(candidate.first, candidate.last)


def _is_of_former(candidate: Candidate, document: Document) -> bool:
    """ "I had a NAME, three batteries": what is told of it in the same sentence."""
    names = document.before("name", candidate.first, _FORMER_REACH)
    last = names[-1] if names and document.same_sentence(names[-1].first, candidate.first) else None
    return (
        last is not None
        and document.scopes.other_named(last.first)
        and not document.scopes.owned(last.last, candidate.first)
    )


def _is_left(candidate: Candidate, document: Document) -> bool:
    """ "from lead to lithium": the first of the two."""
    before = [document.norm(i) for i in range(candidate.first - 2, candidate.first)]
    after = [document.norm(i) for i in range(candidate.last, candidate.last + 2)]
    return "from" in before and "to" in after and before[-1:] != ["to"]


def _is_wanted(document: Document, first: int) -> bool:
    """A wish or plan earlier in the sentence: the change has not been made."""
    plans = document.scopes.near("plan", first, first, _WANTED_REACH)
    wished = (cue for cue in plans if not document.norm(cue.first).endswith("ed"))
    return any(document.same_sentence(cue.first, first) for cue in wished)


def _is_asked(candidate: Candidate, document: Document) -> bool:
    """ "Do 23 inch tyres fit?", "is a 400 amp controller too much?": a change asked about."""
    first, last = candidate.first, candidate.last
    window = range(max(0, first - _ASK_REACH), first)
    opening = [i for i in window if document.same_sentence(i, first) and document.norm(i) in _ASKING]
    if candidate.name in _CHANGEABLE and {document.norm(i) for i in range(max(0, first - 3), first)} & {
        "need",
        "needs",
    }:
        return document.same_sentence(max(0, first - 1), first)
    if candidate.name in _CHANGEABLE and (_is_asked_after(document, last) or _is_wondered(document, first, last)):
        return True
    if candidate.name not in _CHANGEABLE or not opening or not _opens(document, opening[0]):
        return False
    before = {document.norm(i) for i in range(opening[0], first)}
    after = {document.norm(i) for i in range(last, min(last + _JUDGED_REACH, len(document.tokens)))}
    return bool(after & _JUDGING) and not before & _HAVING


def _is_asked_after(document: Document, last: int) -> bool:
    """ "a set of 205/50-10 here, will they go on mine?"."""
    window = range(last, min(last + _ASKED_AFTER_REACH, len(document.tokens)))
    words = [document.norm(i) for i in window if document.same_sentence(i, last - 1)]
    return any(
        one in _ASKING and two in ("they", "it", "those", "these") and three in _JUDGING | {"go"}
        for one, two, three in zip(words, words[1:], words[2:], strict=False)
    )


def _is_wondered(document: Document, first: int, last: int) -> bool:
    """ "20 inch tyres ok?", "to know if 24 inch tyres fit"."""
    asked = document.norm(last) in _JUDGING and document.norm(last + 1) == "?"
    return asked or (
        document.norm(first - 1) in ("if", "whether") and document.norm(last) in _JUDGING | {"will", "would"}
    )


def _opens(document: Document, index: int) -> bool:
    return index == 0 or not document.same_clause(index - 1, index)


def _is_beside(candidate: Candidate, document: Document) -> bool:
    """ "no lift on a NAME": the denial is of something on the vehicle."""
    near = (document.norm(i) for i in range(candidate.first - 3, candidate.first))
    return candidate.name in _NAMES and any(word in _PREPOSITIONS for word in near)


def _is_there(document: Document, first: int, last: int) -> bool:
    """ "from the 18s it has now", "make my 36 a 48", "for a 36 volt NAME": what the vehicle has."""
    if document.norm(first - 1) in ("my", "our"):
        return True
    named = bool(document.between("name", last, last))
    if (
        named
        and document.norm(first - 2) in ("for", "on", "in", "its", "is")
        and document.norm(first - 1) in ("a", "an", "the")
    ):
        return True
    if document.norm(first) == "stock" and document.norm(first - 1) in ("the", "its"):
        return True  # "would the stock motor live"
    return document.norm(last) == "now" or (document.norm(last), document.norm(last + 1)) in _HAS_NOW


def _tells_which(document: Document, first: int, last: int) -> bool:
    """ "two years ago the 72 NAME ...": says which vehicle, whenever it was."""
    named = bool(document.between("name", last, last))
    return named and document.norm(first - 1) in ("the", "my", "our")


def _is_bought(document: Document, first: int) -> bool:
    """ "looking at buying a used NAME, 72 volts": the vehicle is wanted, and what it is is told."""
    names = document.before("name", first, _BOUGHT_REACH)
    words = (document.norm(i) for name in names for i in range(max(0, name.first - _BOUGHT_REACH), name.first))
    return any(word in _BUYING for word in words)


def _is_aside(document: Document, first: int, last: int) -> bool:
    """ "Voltage: 36?", "NAME, 2010?, six eights": in doubt, and no question."""
    return document.norm(first - 1) == ":" or document.norm(last + 1) in (",", ")")


def _is_hedged(candidate: Candidate, document: Document) -> bool:
    scopes, first = document.scopes, candidate.first
    if document.norm(candidate.last) == "?" and _is_aside(document, first, candidate.last):
        return True
    if candidate.name in _NAMES and _is_one_of_two(candidate, document):
        return True
    if candidate.name in _NAMES and _is_sure_name(document, first):
        return False
    numeric = isinstance(candidate.value, int | float)
    return scopes.hearsay(first) or scopes.hedged(first, candidate.last, numeric=numeric)


def _is_one_of_two(candidate: Candidate, document: Document) -> bool:
    """ "NAME or NAME, can't read the badge"."""
    first, last = candidate.first, candidate.last
    other = last + 1 + (document.norm(last + 1) in _ARTICLES)
    first -= document.norm(first - 1) in _ARTICLES
    after = document.norm(last) == "or" and document.between("name", other, other)
    before = document.norm(first - 1) == "or" and document.before("name", first - 1, 0)
    return bool(after or before) and any(
        True for _ in document.scopes.near("not_known", first, last, _DOUBT_REACH, _DOUBT_REACH)
    )


def _is_sure_name(document: Document, first: int) -> bool:
    """A name after "my" or after the number that is in doubt: "could be an 08 NAME"."""
    before = document.tokens[first - 1] if first else None
    return before is not None and (before.norm in _OWNING or before.kind in ("number", "year"))

"""Work done to a part, and how it came out."""

from __future__ import annotations

from collections.abc import Iterator

from triage.facts.candidate import Candidate, words_basis
from triage.facts.work_things import Object
from triage.facts.work_told import is_had, is_told, is_told_new, told_now, was_had_done
from triage.facts.worked_on import after, before, named_after, pronoun, subjects
from triage.language import Document, Mention
from triage.language.entries import Entry
from triage.model import Standing

_OUTCOME_REACH = 8  # words from the work to "no change"
_ADDED = "fitted"
_RENEWED = "replaced"
_NEW = frozenset({"new", "brand new", "news", "another"})
_THEY_REACH = 30  # words from the batteries to "they're from last month"
_NEWS = "news"  # "batteries is news"
_WHENCE = frozenset({"last", "this", "january", "february", "march", "april", "june", "july", "august", "september"})
_WHENCE |= {"october", "november", "december", "spring", "summer", "autumn", "winter", "may"}
_ABOUT = frozenset({"about", "around", "round"})
_DONE = "done"
_SPLIT = frozenset({"took", "taken", "pulled", "had"})  # "took the carb off": the verb goes around its object
_SPARE_VERBS = frozenset({"put", "putting"})  # what was put in is work only when it is another one


def find(document: Document) -> Iterator[Candidate]:
    """Candidates for work_done."""
    seen: set[tuple[str, int]] = set()
    for candidate in (*_whole(document), *_acts(document), *_recent(document)):
        key = (str(candidate.value), candidate.first)
        if key not in seen:
            seen.add(key)
            yield candidate


def _whole(document: Document) -> Iterator[Candidate]:
    """Work whose words hold their object: "charged it overnight"; not "a new fuel" of "a new fuel filter"."""
    for mention in document.of_kind("done"):
        longer = any(part.last > mention.last for part in document.between("part", mention.first, mention.last - 1))
        if not longer and is_told(document, mention, mention.first):
            part = mention.entry.key.split(" ")[0]
            yield _candidate(document, mention, mention.entry.key, part, mention.first, mention.last)


def _acts(document: Document) -> Iterator[Candidate]:
    told = {index for mention in document.of_kind("done") for index in range(mention.first, mention.last)}
    for act in document.of_kind("work"):
        if act.first in told:
            continue
        yield from _done_to(document, act, _objects(document, act))
    for act in document.of_kind("work_bare"):
        if told_now(document, act):
            yield from _done_to(document, act, after(document, act))


def _done_to(document: Document, act: Mention, objects: list[Object]) -> Iterator[Candidate]:
    for thing in objects:
        first, last = min(act.first, thing.first), max(act.last, thing.last)
        yield _candidate(document, act, f"{thing.name} {_verb(act, thing)}", thing.key, first, last)


def _verb(act: Mention, thing: Object) -> str:
    """What a vehicle has anyway and is fitted anew was replaced; what it did not have was fitted."""
    if act.entry.key != _ADDED:
        return act.entry.key
    return _ADDED if thing.added else _RENEWED


def _objects(document: Document, act: Mention) -> list[Object]:
    """What was worked on: before the act ("solenoid replaced"), after it, or the part named last ("a new one")."""
    if act.entry.value in _NEW:
        return _made_new(document, act)
    subject = before(document, act) if act.entry.value not in _SPLIT else []
    if act.entry.value == _DONE:
        return subject if was_had_done(document, act) else []
    if subject:
        return subject if is_told(document, act, subject[0].first) else []
    if _is_moved(document, act) or _is_for_sale(document, act) or not is_told(document, act, act.first):
        return []
    found = after(document, act) or pronoun(document, act)
    if act.entry.value in _SPLIT:
        found = [thing for thing in found if document.norm(thing.last) in ("out", "off")]
    spare = (
        act.entry.key != _ADDED or act.entry.value.split()[0] not in _SPARE_VERBS or any(thing.spare for thing in found)
    )
    return found if spare else []


def _made_new(document: Document, act: Mention) -> list[Object]:
    """ "new solenoid", "the batteries are new", "put a new one in"; not "a new battery costs 200"."""
    found = after(document, act, reach=3) if act.entry.value != _NEWS else []
    found = [thing for thing in found if not thing.added]
    if found:
        return found if is_told_new(document, act) else []
    subject = before(document, act)
    if subject:
        return subject if is_told(document, act, subject[0].first) else []
    return pronoun(document, act) if is_had(document, act.first) and is_told(document, act, act.first) else []


def _recent(document: Document) -> Iterator[Candidate]:
    """ "the batteries are from March", "they're only from last month": put in then."""
    for cue in document.scopes.cues("made_then"):
        things = subjects(document, cue.first, _THEY_REACH) or named_after(document, cue)
        if things and things[-1].key == "battery" and _is_date(document, cue.last):
            act = Mention(Entry("work", _RENEWED, cue.phrase), cue.first, cue.last)
            first, last = min(things[-1].first, cue.first), max(things[-1].last, cue.last + 1)
            yield _candidate(document, act, f"{things[-1].name} {_RENEWED}", "battery", first, last)


def _is_date(document: Document, index: int) -> bool:
    word = document.norm(index)
    return word in _WHENCE or (word.isdecimal() and len(word) == 4)


def _candidate(document: Document, act: Mention, value: str, part: str, first: int, last: int) -> Candidate:
    basis, outcome = words_basis(document, first, last), _outcome(document, last)
    return Candidate("work_done", value, first, last, "", basis, part, outcome, _standing(document, act))


def _standing(document: Document, act: Mention) -> Standing:
    """By the act alone: "not the motor, the brakes were checked" denies no work."""
    if document.scopes.denied(act.first, act.last):
        return Standing.DENIED
    return Standing.PLANNED if document.scopes.planned(act.first) else Standing.STATED


def _is_for_sale(document: Document, act: Mention) -> bool:
    """ "a rebuilt motor" is a thing, unless it was had or put in."""
    return document.norm(act.first - 1) in ("a", "an") and not is_had(document, act.first - 1)


def _is_moved(document: Document, act: Mention) -> bool:
    """ "swapped batteries one and four about" moves them."""
    window = range(act.last, min(act.last + 7, len(document.tokens)))
    return act.entry.value.startswith("swap") and any(
        document.norm(i) in _ABOUT and document.same_sentence(i, act.first) for i in window
    )


def _outcome(document: Document, last: int) -> str:
    """How it came out, told shortly after in the same sentence."""
    for mention in document.between("outcome", last, last + _OUTCOME_REACH):
        if document.same_sentence(mention.first, last - 1):
            return mention.entry.key
    return ""

"""Work done, modifications, use and intent: what happened to the vehicle and what is wanted."""

from __future__ import annotations

from collections.abc import Iterator

from triage.facts.candidate import Candidate, words_basis
from triage.language import Document, Mention
from triage.model import Standing

_ADJECTIVE_REACH = 2  # "new solenoid"
_VERB_REACH = 5  # "replaced the old worn solenoid"
_OUTCOME_REACH = 8
_NEW = frozenset({"new", "brand new"})


def find(document: Document) -> Iterator[Candidate]:
    """Candidates for work_done, modification, use and intent."""
    yield from _work(document)
    yield from _simple(document, "modification")
    yield from _simple(document, "use")
    yield from _intent(document)


def _work(document: Document) -> Iterator[Candidate]:
    parts = document.of_kind("part")
    seen: set[tuple[str, int]] = set()
    for work in document.of_kind("work"):
        for part in _objects(document, work, parts):
            if (part.entry.key, part.first) in seen:
                continue
            seen.add((part.entry.key, part.first))
            first, last = min(work.first, part.first), max(work.last, part.last)
            outcome = _outcome(document, last)
            yield Candidate(
                "work_done",
                f"{part.entry.key} {work.entry.key}",
                first,
                last,
                basis=words_basis(document, first, last),
                what=part.entry.key,
                condition=outcome,
                standing=_work_standing(document, work),
            )


def _objects(document: Document, work: Mention, parts: list[Mention]) -> list[Mention]:
    """The parts worked on: those after the verb in its clause and joined to it, else the one just before it."""
    tokens = document.tokens
    reach = _ADJECTIVE_REACH if work.entry.value in _NEW else _VERB_REACH
    sentence = tokens[work.first].sentence
    after: list[Mention] = []
    edge = work.last
    for part in parts:
        near = 0 <= part.first - edge <= (reach if not after else 2)
        if near and tokens[part.first].sentence == sentence and not _is_about_need(document, work):
            after.append(part)
            edge = part.last
    if after or work.entry.value in _NEW:
        return after
    return [p for p in parts if 0 <= work.first - p.last <= 3 and tokens[p.first].sentence == sentence][-1:]


def _is_about_need(document: Document, work: Mention) -> bool:
    """ "need a new charger", "do I replace": not done."""
    before = [token.norm for token in document.tokens[max(0, work.first - 4) : work.first]]
    return (
        bool({"need", "needs", "should", "buy", "want", "get", "order", "if", "cost", "sell"} & set(before))
        or "to" in before[-1:]
    )


def _work_standing(document: Document, work: Mention) -> Standing | None:
    return Standing.PLANNED if document.scopes.planned(work.first) else None


def _outcome(document: Document, last: int) -> str:
    """How it came out, told shortly after in the same sentence."""
    tokens = document.tokens
    sentence = tokens[last - 1].sentence
    for mention in document.of_kind("outcome"):
        if 0 <= mention.first - last <= _OUTCOME_REACH and tokens[mention.first].sentence == sentence:
            return mention.entry.key
    return ""


def _simple(document: Document, kind: str) -> Iterator[Candidate]:
    seen: set[str] = set()
    for mention in document.of_kind(kind):
        if mention.entry.key not in seen and not _is_verb(document, mention):
            seen.add(mention.entry.key)
            basis = words_basis(document, mention.first, mention.last)
            yield Candidate(kind, mention.entry.key, mention.first, mention.last, basis=basis)


def _is_verb(document: Document, mention: Mention) -> bool:
    """A single bare word is a thing only after an article, a unit or a denial: "a lift", not "when I lift it"."""
    bare = mention.last - mention.first == 1 and document.tokens[mention.first].norm == mention.entry.value
    before = document.tokens[mention.first - 1] if mention.first else None
    units = {quantity.last for quantity in document.quantities if quantity.unit}
    return bare and not (before and (before.norm in _BEFORE_A_THING or mention.first in units))


_BEFORE_A_THING = frozenset("a the no any with without has have my new of".split())
_INTENT_ORDER = ("identify", "size", "may_i", "which_part", "how_to", "diagnose")
_STRONG_PROBLEM = 2


def _intent(document: Document) -> Iterator[Candidate]:
    """The most specific intent asked for; a told problem outweighs a lone "can I" or "how do I"."""
    found: dict[str, Mention] = {}
    counts: dict[str, int] = {}
    for mention in document.of_kind("intent"):
        found.setdefault(mention.entry.key, mention)
        counts[mention.entry.key] = counts.get(mention.entry.key, 0) + 1
    if not found:
        return
    intent = next(name for name in _INTENT_ORDER if name in found)
    if intent in ("how_to", "which_part") and counts.get("diagnose", 0) >= _STRONG_PROBLEM:
        intent = "diagnose"
    mention = found[intent]
    basis = words_basis(document, mention.first, mention.last)
    yield Candidate("intent", intent, mention.first, mention.last, basis=basis, standing=Standing.STATED)

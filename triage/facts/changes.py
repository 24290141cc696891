"""Changes that the vehicle has, and what it is used for."""

from __future__ import annotations

from collections.abc import Container, Iterator

from triage.facts.candidate import Candidate, words_basis
from triage.language import Document, Mention
from triage.model import Standing

_ASKED = frozenset({"how", "does", "do", "would", "will", "which", "what", "is", "are", "can", "could", "should"})
_OWNED = frozenset(
    "has have had with fitted put installed added my it its carries on came runs got wears hes shes theres".split()
)
_BEFORE_A_THING = frozenset("a the no any with without has have my new of".split())
_IN_DOUBT = frozenset({"if", "whether"})
_ASK_REACH = 9  # words from the opening of a question to what it asks about
_DOES = frozenset({"does", "do", "did", "has"})  # "does it have a lift?"
_HAVE = frozenset({"have", "has", "had", "it", "got"})
_LEAD_INS = frozenset("so and but also or hi hello".split())
_MADE_OF = frozenset({"a", "an", "any", "some", "the", "good", "new", "inch", "in", "my", "bigger"})
_FOR = frozenset({"for", "about", "than"})
_CHANGING = frozenset("converted switched went gone moved changed swapped upgraded".split())
_FITTING = frozenset("put fitted installed dropped stuck has".split())
_CHANGES = {"tyre": "bigger tyres", "wheel": "bigger wheels", "controller": "upgraded controller"}
_CHANGES |= {"motor": "upgraded motor"}
_NOT_COMPARED = frozenset("than the and with but on for is was to from problem issue".split())
_COMPARED_REACH = 5  # words from "taller" to the tyres
_CHANGE_REACH = 10  # words from "changed" to what it was changed to
_LATER_REACH = 3  # "lithium somebody put in"


def find(document: Document, listed: Container[str]) -> Iterator[Candidate]:
    """Candidates for modification and use; `listed` are the changes the pack knows."""
    told = list(_simple(document, "modification"))
    yield from told
    yield from _compared(document, listed, {candidate.value for candidate in told})
    yield from _simple(document, "use")
    yield from _other_chemistry(document, listed)


def _simple(document: Document, kind: str) -> Iterator[Candidate]:
    seen: set[str] = set()
    for mention in document.of_kind(kind):
        if mention.entry.key in seen or (kind == "modification" and _is_no_change(document, mention)):
            continue
        seen.add(mention.entry.key)
        basis = words_basis(document, mention.first, mention.last)
        asked = kind == "modification" and _is_asked_about(document, mention)
        standing = Standing.PLANNED if asked else None
        yield Candidate(kind, mention.entry.key, mention.first, mention.last, basis=basis, standing=standing)


def _compared(document: Document, listed: Container[str], told: Container[object]) -> Iterator[Candidate]:
    """ "a taller set of 22 inch tyres", "bigger black rims": a part that is more than it was made with."""
    for cue in document.scopes.cues("comparative"):
        parts = document.between("part", cue.last, cue.last + _COMPARED_REACH)
        part = parts[0] if parts and document.same_clause(cue.first, parts[0].first) else None
        gap = {document.norm(i) for i in range(cue.last, part.first)} if part else set()
        change = _CHANGES.get(part.entry.key, "") if part and not gap & _NOT_COMPARED else ""
        if part and change in listed and change not in told:
            mention = Mention(part.entry, cue.first, part.last)
            standing = Standing.PLANNED if _is_asked_about(document, mention) else None
            basis = words_basis(document, cue.first, part.last)
            yield Candidate("modification", change, cue.first, part.last, basis=basis, standing=standing)


def _is_asked_about(document: Document, mention: Mention) -> bool:
    """ "Does a lift hurt?", "how much is a lift kit": a thing asked about, not had."""
    start = mention.first
    while start > 0 and mention.first - start < _ASK_REACH and document.same_clause(start - 1, mention.first):
        start -= 1
    words = [document.norm(i) for i in range(start, mention.first)]
    unknown = bool(_IN_DOUBT & set(words))
    opening = words[1:2] if words[:1] and words[0] in _LEAD_INS else words[:1]
    owned = _OWNED - _HAVE if set(opening) & _DOES else _OWNED
    return unknown or (bool(_ASKED & set(opening)) and not owned & set(words))


def _is_no_change(document: Document, mention: Mention) -> bool:
    """A word that is a verb here, or a thing that something is wanted for."""
    return _is_verb(document, mention) or _is_purpose(document, mention)


def _is_purpose(document: Document, mention: Mention) -> bool:
    """ "nut size for alloy wheels"."""
    index = mention.first - 1
    while index >= max(0, mention.first - _ASK_REACH) and document.norm(index) in _MADE_OF - {"my"}:
        index -= 1
    return index >= 0 and document.norm(index) in _FOR and document.same_sentence(index, mention.first)


def _is_verb(document: Document, mention: Mention) -> bool:
    """A single bare word is a thing only after an article, a unit or a denial: "a lift", not "when I lift it"."""
    both = any(cue.first == mention.first for cue in document.scopes.near("also_a_verb", 0, mention.first, 0, 0))
    if mention.last - mention.first > 1 or not both:
        return False
    before = document.norm(mention.first - 1)
    opens = mention.first == 0 or not document.same_sentence(mention.first - 1, mention.first)
    if opens and document.norm(mention.last) in ("and", ",", "on", "fitted"):
        return False  # "Winch and a light bar on the front"
    near = [*document.quantities_from(mention.first - 5, 4), *document.quantities_from(mention.last, 0)]
    beside = (q for q in near if mention.first - 1 <= q.last <= mention.first or q.first == mention.last)
    measured = any(q.unit or q.decimal for q in beside)
    return before not in _BEFORE_A_THING and not measured


def _other_chemistry(document: Document, listed: Container[str]) -> Iterator[Candidate]:
    """ "changed from lead to lithium", "lithium somebody put in": other batteries than it was made with."""
    for mention in document.of_kind("value"):
        change = f"{mention.entry.value} conversion"
        if mention.entry.key == "battery_chemistry" and change in listed and _is_put_in(document, mention):
            basis = words_basis(document, mention.first, mention.last)
            yield Candidate("modification", change, mention.first, mention.last, basis=basis)


def _is_put_in(document: Document, mention: Mention) -> bool:
    first, last = mention.first, mention.last
    before = {
        document.norm(i) for i in range(first - _CHANGE_REACH, first) if i >= 0 and document.same_sentence(i, first)
    }
    after = [document.norm(i) for i in range(last, last + _LATER_REACH)]
    into = document.norm(first - 1) in ("to", "with") and before & _CHANGING
    later = any(
        word in _FITTING - {"has"} and document.norm(last + i + 1) in ("in", "on") for i, word in enumerate(after)
    )
    put_in = {"put", "in"} <= before and document.norm(first - 1) != "to"
    return bool(into or later or put_in or (before & _FITTING and document.norm(last) == "in"))

"""Facts that stand in the pack's word lists: values said outright, and values that words imply."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from triage.facts.candidate import Candidate, words_basis
from triage.facts.layouts import batteries_around
from triage.language import Document, Mention
from triage.language.numbers import PLURALS
from triage.model import Standing
from triage.pack.words import Implication

_CHOICE_REACH = 5
_BEFORE_A_KIND = frozenset({"the", "old", "my", "is", "are", "from", "to"})


def find(document: Document, implications: Sequence[Implication]) -> Iterator[Candidate]:
    """Candidates for every closed fact that has words, and what words imply where nothing is said outright."""
    stated = list(_stated(document))
    yield from stated
    yield from _implied(document, implications)


def _stated(document: Document) -> Iterator[Candidate]:
    for mention in document.of_kind("value"):
        if not any(check(document, mention) for check in (_inside_longer, _inside_name, _is_choice, _is_event)):
            basis = words_basis(document, mention.first, mention.last)
            yield Candidate(mention.entry.key, mention.entry.value, mention.first, mention.last, basis=basis)


def _is_event(document: Document, mention: Mention) -> bool:
    """ "the shed flooded": a participle tells the kind of battery only beside batteries or volts, or set apart."""
    participle = mention.last - mention.first == 1 and document.norm(mention.first).endswith("ed")
    if mention.entry.key != "battery_chemistry" or not participle or _is_set_apart(document, mention):
        return False
    near = document.quantities_from(mention.first - 5, 6)
    volts = any(q.unit == "V" or document.norm(q.last - 1) in PLURALS for q in near)  # "flooded eights"
    return not volts and not batteries_around(document, mention.first)


def _is_set_apart(document: Document, mention: Mention) -> bool:
    """ "NAME (2009, FLOODED)", "FLOODED." """
    before = mention.first == 0 or not document.same_clause(mention.first - 1, mention.first)
    ends = mention.last == len(document.tokens) or document.tokens[mention.last].kind == "mark"
    ends = ends or document.norm(mention.last) in ("to", "on", "in", "now")
    before = before or document.tokens[mention.first - 1].kind == "mark"
    return ends and (before or document.norm(mention.first - 1) in _BEFORE_A_KIND)


def _is_choice(document: Document, mention: Mention) -> bool:
    """ "gas or electric?", "Gas/electric:": two values of one fact offered, none said."""
    if _beside_lead(document, mention):
        return True
    near = document.between("value", mention.first - _CHOICE_REACH, mention.last + _CHOICE_REACH)
    return any(_are_rivals(document, mention, other) for other in near)


def _beside_lead(document: Document, mention: Mention) -> bool:
    """ "lead or lithium": lead is no one kind, and so no value."""
    before = [document.norm(i) for i in range(mention.first - 2, mention.first)]
    after = [document.norm(i) for i in range(mention.last, mention.last + 2)]
    return before == ["lead", "or"] or after == ["or", "lead"]


def _are_rivals(document: Document, one: Mention, two: Mention) -> bool:
    between = document.tokens[min(one.last, two.last) : max(one.first, two.first)]
    rival = two.entry.key == one.entry.key and two.entry.value != one.entry.value
    return rival and [token.norm for token in between] in (["or"], ["/"], ["vs"], ["or", "a"], ["or", "is", "it"])


def _inside_longer(document: Document, mention: Mention) -> bool:
    """ "gas" inside "gas pedal" is no word for the powertrain."""
    length = mention.last - mention.first
    parts = document.between("part", mention.first - 5, mention.first)
    return any(mention.last <= p.last and p.last - p.first > length for p in parts)


def _inside_name(document: Document, mention: Mention) -> bool:
    """A word of the model's own name ("NAME Li") says the name; the catalogue knows what it stands for."""
    names = [m for m in document.before("name", mention.last, 0) if m.last > mention.first]
    names += [m for m in document.between("name", mention.first - 4, mention.last - 1) if m.last > mention.first]
    shared = ((name, range(max(name.first, mention.first), min(name.last, mention.last))) for name in names)
    return any(document.norm(index) in name.entry.value.casefold().split() for name, both in shared for index in both)


def _implied(document: Document, implications: Sequence[Implication]) -> Iterator[Candidate]:
    taken_back = {mention.entry.key for mention in document.of_kind("unless")}
    seen: set[tuple[str, str]] = set()
    for mention in document.of_kind("implies"):
        implication = implications[int(mention.entry.key)]
        key = (implication.fact, implication.value)
        if mention.entry.key in taken_back or key in seen or not _is_told(document, mention):
            continue
        seen.add(key)
        words = document.words(mention.first, mention.last)
        yield Candidate(
            implication.fact,
            implication.value,
            mention.first,
            mention.last,
            basis=f"'{words}' goes with {implication.value}",
            standing=Standing.INFERRED,
        )


def _is_told(document: Document, mention: Mention) -> bool:
    """Not denied, and no part of a value's own words ("acid" in "sealed lead acid")."""
    values = document.between("value", mention.first - 5, mention.first)
    inside = any(v.first < mention.first and mention.last <= v.last for v in values)
    aside = document.scopes.denied(mention.first, mention.last) or document.scopes.other(mention.first, mention.last)
    return not inside and not aside

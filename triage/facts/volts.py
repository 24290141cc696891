"""What stands around a voltage: the vehicle's name, a part, a word of reading."""

from __future__ import annotations

from triage.facts.candidate import Candidate, plain, words_basis
from triage.language import Document
from triage.language.quantities import Quantity
from triage.model import Standing


def volts_candidate(document: Document, quantity: Quantity, name: str, standing: Standing | None = None) -> Candidate:
    """A fact in volts, told by a quantity."""
    first, last = quantity.first, quantity.last
    basis = words_basis(document, first, last)
    return Candidate(name, plain(quantity.value), first, last, "V", basis=basis, standing=standing)


def follows_name(document: Document, first: int) -> bool:
    """ "NAME 36V STOCK CONTROLLER", "NAME 1999 36 VOLT": a voltage right after the vehicle's name is the vehicle's."""
    year = first > 0 and document.tokens[first - 1].kind in ("number", "year") and len(document.norm(first - 1)) == 4
    return any(mention.last == first - year for mention in document.before("name", first - year, 0))


def part_after(document: Document, index: int) -> str:
    """The part named right after, at most one word away."""
    for mention in document.between("part", index, index + 1):
        if document.same_clause(mention.first, index - 1):
            return mention.entry.key
    return ""


def is_reading(document: Document, first: int) -> bool:
    """A reading cue shortly before in the sentence."""
    cues = document.scopes.near("reading", first, first, 6)
    return any(document.same_sentence(cue.first, first) for cue in cues)


def is_read_after(document: Document, last: int) -> bool:
    """A reading cue right after: "12.6 on the meter"."""
    return any(True for _ in document.scopes.near("reading", 0, last, 0, 0))

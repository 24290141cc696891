"""Which part a number was read at."""

from __future__ import annotations

from triage.facts.trade import METER_PARTS
from triage.language import Document, Mention
from triage.language.quantities import Quantity

_REACH = 6
_AT = frozenset({"at", "across", "on", "to", "from", "between"})


def part_measured(document: Document, quantity: Quantity) -> str:
    """The part after "at the ..." here, else the nearest before in the sentence, else after in the clause."""
    first, last = quantity.first, quantity.last
    if document.norm(last) in _AT:
        at = [m for m in document.between("part", last + 1, last + 2) if _counts(document, m)]
        if at:
            return at[0].entry.key
    before = [m for m in document.before("part", first, _REACH) if _counts(document, m)]
    before = [m for m in before if document.same_sentence(m.first, first)]
    if before:
        return before[-1].entry.key
    after = [m for m in document.between("part", last, last + _REACH) if _counts(document, m)]
    return next((m.entry.key for m in after if document.same_clause(m.first, first)), "")


def _counts(document: Document, mention: Mention) -> bool:
    """A meter shows what is measured elsewhere; a pedal in "pedal pressed" is part of the condition."""
    in_condition = any(
        cue.last >= mention.last
        for cue in document.scopes.near("condition", -99, mention.first - 3, 0, 3)
        if cue.first <= mention.first
    )
    return mention.entry.key not in METER_PARTS and not in_condition

"""Take the vehicle's name and figures out of a text, so that likeness of meaning is about the trouble, not the vehicle.

What is taken out is not lost: fact fit holds it against the answer's range exactly, where an encoder would blur it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from triage.model import Fact, Span, Standing

MASKED = frozenset({"make", "model", "year", "pack_voltage", "serial"})
_GAPS = re.compile(r"\s+(?=[,.;:!?)])|(?<=[(])\s+|\s{2,}")


def masked_spans(facts: Iterable[Fact]) -> tuple[Span, ...]:
    """Where vehicles are named in the text at hand (not in earlier messages, not inferred)."""
    spans = {
        span
        for fact in facts
        if fact.name in MASKED and fact.standing is not Standing.INFERRED and not fact.message
        for span in (fact.span, *fact.mentions)
        if span
    }
    return tuple(sorted(spans, key=lambda span: (span.start, span.end)))


def mask(text: str, spans: Iterable[Span], within: Span | None = None) -> str:
    """The text (or the part of it within a span) without the given spans; the text itself when nothing would be left.

    >>> mask("my 48v cart clicks", [Span(3, 6)])
    'my cart clicks'
    """
    start, end = (within.start, within.end) if within else (0, len(text))
    kept, at = [], start
    for span in spans:
        if start <= span.start and span.end <= end and span.start >= at:
            kept.append(text[at : span.start])
            at = span.end
    kept.append(text[at:end])
    masked = _GAPS.sub(lambda gap: " " if gap[0].strip() == "" and len(gap[0]) > 1 else "", "".join(kept)).strip(
        " ,;:-"
    )
    return masked if re.search(r"[A-Za-z]{3}", masked) else text[start:end]

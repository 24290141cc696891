"""The asker's own words, with facts, dangers and contradictions marked where they stand."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from urllib.parse import urlencode

from triage.bench.views.wording import STANDING, how_told, label, value_words
from triage.model import Conflict, Fact, HazardNote, Reading, Span, Standing
from triage.pack import Pack

MOST_GLOSSES = 2
_PARAGRAPH = re.compile(r"(?:(?!\n\s*\n).)+", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Mark:
    """Something read at a place of the text."""

    span: Span
    label: str  # "pack voltage"
    says: str  # the value read
    standing: str  # "stated", "hedged"...; "danger" for one that happens, "risk" for a possible one
    word: str  # short word for the standing, "" for plainly stated
    query: str = ""  # address of the form that corrects it; "" for a danger
    odd: bool = False  # cannot be true together with something else


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of text under the same marks; `ends` are those whose place ends with it."""

    text: str
    marks: tuple[Mark, ...] = ()
    ends: tuple[Mark, ...] = ()

    @property
    def kinds(self) -> str:
        """Class names: each standing once."""
        names = [mark.standing for mark in self.marks] + ["odd" for mark in self.marks if mark.odd]
        return " ".join(dict.fromkeys(names))

    @property
    def query(self) -> str:
        """The form of the shortest fact here: the most particular one."""
        facts = [mark for mark in self.marks if mark.query]
        return min(facts, key=lambda mark: mark.span.end - mark.span.start).query if facts else ""

    @property
    def title(self) -> str:
        """All that was read here, in words."""
        return "; ".join(f"{m.label}: {m.says}{f', {m.word}' if m.word else ''}" for m in self.marks)


@dataclass(frozen=True, slots=True)
class Aside:
    """A note in the margin beside the paragraph it arises in."""

    kind: str  # "danger" | "odd"
    head: str
    text: str


@dataclass(frozen=True, slots=True)
class Paragraph:
    """One paragraph of the asker's with what arises in it."""

    pieces: tuple[Piece, ...]
    asides: tuple[Aside, ...] = ()


def marked(text: str, readings: Sequence[tuple[Reading, int]], pack: Pack) -> tuple[Paragraph, ...]:
    """Paragraphs of a message's text; each reading comes with the offset of its question in that text."""
    marks = [mark for reading, offset in readings for mark in _marks(reading, offset, pack)]
    asides = [one for reading, offset in readings for one in _asides(reading, offset, pack)]
    paragraphs = list(_paragraphs(text)) or [(0, len(text))]
    placed = _placed(asides, paragraphs)
    return tuple(
        Paragraph(tuple(_pieces(text, start, end, marks)), placed[number])
        for number, (start, end) in enumerate(paragraphs)
    )


def _paragraphs(text: str) -> Iterator[tuple[int, int]]:
    """Where each begins and ends, without the blanks around it."""
    for found in _PARAGRAPH.finditer(text):
        words = found[0].strip()
        if words:
            start = found.start() + found[0].index(words)
            yield start, start + len(words)


def _marks(reading: Reading, offset: int, pack: Pack) -> Iterator[Mark]:
    contradicted = {name for conflict in reading.conflicts for name in conflict.facts}
    for fact in reading.facts:
        if not fact.message and fact.name != "intent":  # what is wanted is told by the whole, not by a word
            for span in fact.mentions or ((fact.span,) if fact.span else ()):
                yield _fact_mark(fact, _moved(span, offset), fact.name in contradicted, pack)
    for note in reading.hazards:
        if note.span and not note.message:
            yield _danger_mark(note, _moved(note.span, offset), pack)


def _fact_mark(fact: Fact, span: Span, odd: bool, pack: Pack) -> Mark:
    says = value_words(fact, pack)
    return Mark(
        span,
        label(pack.facts, fact.name),
        says,
        fact.standing.value,
        STANDING[fact.standing],
        fact_query(fact),
        odd and fact.standing.holds,
    )


def _danger_mark(note: HazardNote, span: Span, pack: Pack) -> Mark:
    words = label(pack.hazards, note.hazard)
    return Mark(span, note.signal.value, words, "danger" if note.urgent else "risk", how_told(note))


def fact_query(fact: Fact) -> str:
    """The address of the form for one fact, without its path."""
    return urlencode({"name": fact.name, "value": str(fact.value), "vehicle": fact.vehicle})


def _moved(span: Span, offset: int) -> Span:
    return Span(span.start + offset, span.end + offset)


def _pieces(text: str, start: int, end: int, marks: Sequence[Mark]) -> Iterator[Piece]:
    """Cut at every place where a mark begins or ends."""
    here = [mark for mark in marks if mark.span.start < end and mark.span.end > start]
    cuts = sorted({start, end, *(edge for m in here for edge in (m.span.start, m.span.end) if start < edge < end)})
    for first, last in pairwise(cuts):
        over = _telling([m for m in here if m.span.start <= first and m.span.end >= last])
        yield Piece(text[first:last], tuple(over), _glosses(m for m in over if m.span.end == last))


def _telling(marks: Sequence[Mark]) -> Sequence[Mark]:
    """What a word tells by itself; what the catalogue adds to it stands in the list of what is known."""
    told = [mark for mark in marks if mark.standing != Standing.INFERRED]
    return told or marks


def _glosses(marks: Iterable[Mark]) -> tuple[Mark, ...]:
    """Each label and standing once, and not so many that the words can no longer be read; dangers always."""
    once = list({(mark.label, mark.word): mark for mark in marks}.values())
    dangers = [mark for mark in once if mark.standing in ("danger", "risk")]
    return (*dangers, *[mark for mark in once if mark not in dangers][:MOST_GLOSSES])


def _asides(reading: Reading, offset: int, pack: Pack) -> Iterator[tuple[int, Aside]]:
    """Notes with the place they arise at; -1 for those that arise from no words of this message."""
    for note in reading.hazards:
        if note.span or note.urgent:
            at = note.span.start + offset if note.span and not note.message else -1
            yield at, Aside("danger", f"{note.signal.value}, {how_told(note)}", label(pack.hazards, note.hazard))
    for conflict in reading.conflicts:
        yield _place_of(conflict, reading, offset), Aside("odd", "Does not fit together", conflict.says)


def _place_of(conflict: Conflict, reading: Reading, offset: int) -> int:
    """Where the last of its facts is told."""
    spans = [f.span.start for f in reading.facts if f.name in conflict.facts and f.span and not f.message]
    return max(spans) + offset if spans else -1


def _placed(asides: Iterable[tuple[int, Aside]], paragraphs: Sequence[tuple[int, int]]) -> list[tuple[Aside, ...]]:
    """The notes of each paragraph, each note once; those without a place come first of all."""
    placed: list[dict[Aside, None]] = [{} for _ in paragraphs]
    for at, aside in asides:
        number = next((n for n, (start, end) in enumerate(paragraphs) if start <= at < end), 0)
        placed[number][aside] = None
    return [tuple(notes) for notes in placed]

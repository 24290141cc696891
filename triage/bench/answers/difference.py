"""A proposal as a person reads it: what leaves, what comes, and where each new sentence was said. Pure."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from itertools import zip_longest

from triage.growth.proposal import Kind, Line, Origin, Proposal, Said
from triage.pack.schema import Answer, AppliesTo
from triage.reply.sentences import blocks, sentences

KINDS = {
    Kind.NEW: "a new answer",
    Kind.VARIANT: "another way it is asked",
    Kind.SCOPE: "which vehicles it is for",
    Kind.BRANCH: "one more case",
    Kind.REWORDING: "other words",
    Kind.MERGE: "answers joined",
    Kind.SPLIT: "an answer parted",
}
LABELS = {
    "title": "Title", "question": "Question", "variants": "Also asked as", "needs": "Turns on", "hazards": "Dangers",
    "follow_ups": "Asks back", "symptoms": "Symptoms", "intents": "Wanted", "tags": "Tags", "source": "Source",
}  # fmt: skip
RANGE = {
    "powertrain": "Driven by", "makes": "Makes", "models": "Models", "voltages": "Voltages", "chemistries": "Batteries",
    "controllers": "Controllers", "year_from": "From year", "year_to": "To year",
}  # fmt: skip
_WORD = re.compile(r"\s*\S+")
ALIKE = 0.5  # of two sentences, from which one is the other reworded
Cut = tuple[str, bool]  # a sentence, and whether it is a branch of a list


@dataclass(frozen=True, slots=True)
class Where:
    """Where a sentence was said, with a link to it where there is a thread."""

    label: str
    words: str
    href: str = ""


@dataclass(frozen=True, slots=True)
class Bit:
    """A stretch of a sentence: "same", "gone" or "came"."""

    how: str
    text: str


@dataclass(frozen=True, slots=True)
class Row:
    """A sentence or branch of the text: "same", "gone", "came" or "other" (reworded; `bits` tell how)."""

    how: str
    bits: tuple[Bit, ...]
    bullet: bool = False
    said: tuple[Where, ...] = ()

    @property
    def text(self) -> str:
        """The words as they will stand; of what leaves, as they stood."""
        return "".join(bit.text for bit in self.bits if bit.how != "gone" or self.how == "gone")


@dataclass(frozen=True, slots=True)
class Field:
    """What stands at the head of an answer: before and after; the two are alike where nothing changes."""

    label: str
    before: tuple[str, ...]
    after: tuple[str, ...]

    @property
    def changed(self) -> bool:
        """True where it is another."""
        return self.before != self.after


@dataclass(frozen=True, slots=True)
class Change:
    """One answer, before and after: either may be missing."""

    before: str  # id; "" for a new one
    after: str
    title: str
    fields: tuple[Field, ...]
    rows: tuple[Row, ...]


def changes(proposal: Proposal) -> tuple[Change, ...]:
    """Each answer that leaves beside the one that comes in its place."""
    said = {line.text: line for line in proposal.lines}
    return tuple(_change(*pair, said) for pair in zip_longest(proposal.before, proposal.after))


def _change(before: Answer | None, after: Answer | None, said: Mapping[str, Line]) -> Change:
    shown = after or before
    assert shown is not None
    rows = tuple(text_rows(before.text if before else "", after.text if after else "", said))
    heads = tuple(_fields(before, after))
    return Change(before.id if before else "", after.id if after else "", shown.title, heads, rows)


def _fields(before: Answer | None, after: Answer | None) -> Iterator[Field]:
    for name, label in LABELS.items():
        yield from _field(label, _values(before, name), _values(after, name))
    for name, label in RANGE.items():
        yield from _field(label, _values(before and before.applies_to, name), _values(after and after.applies_to, name))


def _field(label: str, before: tuple[str, ...], after: tuple[str, ...]) -> Iterator[Field]:
    if before or after:
        yield Field(label, before, after)


def _values(record: Answer | AppliesTo | None, name: str) -> tuple[str, ...]:
    if record is None:
        return ()
    assert name in {field.name for field in fields(record)}
    value = getattr(record, name)
    if isinstance(value, list):
        return tuple(f"{item:g}" if isinstance(item, float) else str(item) for item in value)
    return (str(value),) if value else ()


def text_rows(before: str, after: str, said: Mapping[str, Line]) -> Iterator[Row]:
    """The text sentence by sentence; what is reworded stands as one row."""
    old, new = _cut(before), _cut(after)
    matcher = difflib.SequenceMatcher(None, [text for text, _ in old], [text for text, _ in new], autojunk=False)
    for what, first, last, start, end in matcher.get_opcodes():
        if what == "equal":
            yield from (Row("same", (Bit("same", text),), bullet) for text, bullet in new[start:end])
        else:
            yield from _replaced(old[first:last], new[start:end], said)


def _replaced(old: Sequence[Cut], new: Sequence[Cut], said: Mapping[str, Line]) -> Iterator[Row]:
    """Sentences alike enough are shown in one; of the others, what leaves stands before what comes."""
    left = list(old)
    for number, (text, bullet) in enumerate(new):
        while left and not _alike(left[0][0], new[number:]):
            yield _gone(left.pop(0))
        if left and _alike(left[0][0], new[number : number + 1]):
            yield Row("other", tuple(bits(left.pop(0)[0], text)), bullet, places(said.get(text)))
        else:
            yield Row("came", (Bit("came", text),), bullet, places(said.get(text)))
    yield from map(_gone, left)


def _alike(text: str, others: Sequence[Cut]) -> bool:
    return bool(difflib.get_close_matches(text, [words for words, _ in others], 1, ALIKE))


def _gone(item: Cut) -> Row:
    return Row("gone", (Bit("gone", item[0]),), item[1])


def _cut(text: str) -> list[Cut]:
    """Sentences; a branch stays whole."""
    return [
        (words, block.bullet)
        for block in blocks(text)
        for words in ((block.text,) if block.bullet else sentences(block.text))
    ]


def bits(before: str, after: str) -> Iterator[Bit]:
    """Two sentences as one, word by word.

    >>> [(bit.how, bit.text) for bit in bits("Charge it.", "Charge it first.")]
    [('same', 'Charge'), ('gone', ' it.'), ('came', ' it first.')]
    """
    old, new = _WORD.findall(before), _WORD.findall(after)
    for what, first, last, start, end in difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if what == "equal":
            yield Bit("same", "".join(new[start:end]))
            continue
        if words := old[first:last]:
            yield Bit("gone", "".join(words))
        if words := new[start:end]:
            yield Bit("came", "".join(words))


def places(line: Line | None) -> tuple[Where, ...]:
    """Where a line was said."""
    return tuple(_where(said) for said in line.said) if line else ()


def _where(said: Said) -> Where:
    if said.origin is Origin.BASE:
        return Where(f"stands in the answer {said.place}", said.text)
    if said.origin is Origin.EDITOR:
        return Where(f"put so by {said.place}", said.text)
    href = f"/question/{said.thread}" if said.thread else ""
    what = {Origin.REPLY: said.place or "the reply", Origin.ASKED: "the asker"}.get(said.origin, said.origin.value)
    return Where(f"question {said.thread}, {what}" if said.thread else what, said.text, href)


def origins(proposal: Proposal) -> Iterable[Where]:
    """Where the sentences come from that stand in no text row: a wording, a range."""
    shown = {row.text for change in changes(proposal) for row in change.rows}
    return (where for line in proposal.lines if line.text not in shown for where in places(line))

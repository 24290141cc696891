"""What follows from an hour that was on air: replies to draft, what is carried over, material for the answer base."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace

from triage.language.private import Particulars, without_particulars
from triage.model import Draft, Sentence
from triage.reply.readability import reading_ease
from triage.reply.sentences import sentences
from triage.segment.programme import Candidate, Programme, Said, Spoken

_CLOSING = ("wording:rules", "wording:closing", "wording:sign_off", "wording:chat_closing", "wording:chat_sign_off")
_KEPT = (
    *("hazard:", "reworded:hazard:", "conflict:", "wording:safety"),
    *("wording:understood", "wording:inferred", "wording:stop"),
)
_ANSWERING = ("answer:", "check:", "reworded:answer:", "reworded:check:")
_PHRASE = {
    Spoken.SAID: "hour_after_said",
    Spoken.CHANGED: "hour_after_changed",
    Spoken.ASKED_BACK: "hour_after_asked",
}
Phrase = Callable[..., str]


@dataclass(frozen=True, slots=True)
class OnAir:
    """What was said of one question, for the answer base: a JSON value. Every text is free of particulars."""

    thread: int
    day: str  # ISO date
    how: str  # "said" | "changed" | "asked_back"
    question: str
    said: tuple[str, ...]  # the answer of the sheet, in writing
    changed: str = ""  # what the host said instead
    by: str = ""

    def as_json(self) -> dict[str, object]:
        """Plain values."""
        return asdict(self) | {"said": list(self.said)}


@dataclass(frozen=True, slots=True)
class CarriedOver:
    """A question that was on the sheet and not reached."""

    thread: int
    question: str
    note: str = ""


def noted(programme: Programme, notes: Sequence[Said]) -> Iterator[tuple[Candidate, Said]]:
    """The planned and added questions with their notes, in the order of the sheet."""
    by_thread = {note.thread: note for note in notes if note.thread}
    spares = [left.candidate for left in programme.left_out]
    for candidate in (*(slot.candidate for slot in programme.slots), *spares):
        if candidate.thread in by_thread:
            yield candidate, by_thread[candidate.thread]


def carried_over(programme: Programme, notes: Sequence[Said]) -> tuple[CarriedOver, ...]:
    """What was put off, and what nothing was noted on, once anything was."""
    by_thread = {note.thread: note for note in notes if note.thread}
    kept = []
    for slot in programme.slots if by_thread else ():
        note = by_thread.get(slot.candidate.thread)
        if note is None or note.how is Spoken.POSTPONED:
            kept.append(CarriedOver(slot.candidate.thread, slot.candidate.question, note.note if note else ""))
    return tuple(kept)


@dataclass(frozen=True, slots=True)
class Written:
    """A thread's answer and safety notes in writing, a line each, and whose particulars must not leave."""

    answer: tuple[str, ...]
    safety: tuple[str, ...]
    people: Particulars

    def plain(self, text: str) -> str:
        """The text with nothing in it that tells who somebody is."""
        return without_particulars(text, self.people)


def written(draft: Draft, candidate: Candidate, people: Particulars) -> Written:
    """From the drafted reply; where it holds no answer, as on the sheet."""
    answer = _lines(draft, _ANSWERING)
    safety = _lines(draft, ("hazard:", "reworded:hazard:"))
    return Written(answer or candidate.essentials.answer, safety or candidate.essentials.safety, people)


def _lines(draft: Draft, sources: tuple[str, ...]) -> tuple[str, ...]:
    """The sentences of these sources; those of one paragraph, case or note in one line."""
    lines: list[str] = []
    last: Sentence | None = None
    for one in draft.sentences:
        if not one.source.startswith(sources):
            last = None
        elif last and last.paragraph == one.paragraph and last.source == one.source and not one.text.startswith("- "):
            lines[-1] += f" {one.text}"
            last = one
        else:
            lines.append(one.text.removeprefix("- "))
            last = one
    return tuple(lines)


def material(programme: Programme, notes: Sequence[Said], writing: Callable[[Candidate], Written]) -> tuple[OnAir, ...]:
    """What was said, as material for the answer base."""
    return tuple(
        OnAir(
            candidate.thread,
            programme.day.isoformat(),
            note.how.value,
            (text := writing(candidate)).plain(replace(candidate, agreed=False).question),
            () if note.how is Spoken.ASKED_BACK else tuple(map(text.plain, text.answer)),
            text.plain(note.note),
            note.by,
        )
        for candidate, note in noted(programme, notes)
        if note.how is not Spoken.POSTPONED
    )


def reply_draft(draft: Draft, candidate: Candidate, note: Said, phrase: Phrase, **names: str) -> Draft:
    """The draft to the asker after the hour.

    As said: the draft there is, below a sentence that tells of the programme, with questions for the gaps that it does
    not ask yet. Said otherwise: the host's words in the place of the drafted answer. Asked back: the host's question,
    or the gaps, in the place of an answer; safety notes stay in every case. Raises KeyError for a missing wording.
    """
    source = f"air:{note.day.isoformat()}"
    intro = [Sentence(phrase(_PHRASE[note.how], **names), f"wording:{_PHRASE[note.how]}")]
    own = [Sentence(words, source) for words in sentences(note.note)] if note.note.strip() else []
    gaps = [one for one in candidate.essentials.missing if one.ask]
    asks = [Sentence(f"- {one.ask}", f"gap:{one.fact}", 0, True) for one in gaps]
    before, body, closing = _parts(draft)
    if note.how is Spoken.SAID:
        there = {words for one in body for words in (one.source, one.text)}
        new = [sentence for sentence in asks if there.isdisjoint((sentence.source, sentence.text))]
        also = [Sentence(phrase("hour_after_also"), "wording:hour_after_also"), *new] if new else []
        return _joined(draft, before, intro, body, own, also, closing)
    kept = [one for one in body if one.source.startswith(_KEPT)]
    if note.how is Spoken.CHANGED:
        return _joined(draft, before, kept, [*intro, *(own or _answers(body))], closing)
    return _joined(draft, before, kept, [*intro, *(own or asks)], closing)


def _answers(body: Sequence[Sentence]) -> list[Sentence]:
    return [one for one in body if one.source.startswith(_ANSWERING)]


def _parts(draft: Draft) -> tuple[list[Sentence], list[Sentence], list[Sentence]]:
    """Greeting, what is between, and the closing lines."""
    every = list(draft.sentences)
    first = next((n for n, one in enumerate(every) if not one.source.startswith("wording:greeting")), len(every))
    last = len(every)
    while last > first and every[last - 1].source.startswith(_CLOSING):
        last -= 1
    return every[:first], every[first:last], every[last:]


def _joined(draft: Draft, *groups: Sequence[Sentence]) -> Draft:
    """The groups one below the other; a paragraph within a group stays a paragraph."""
    whole: list[Sentence] = []
    for group in groups:
        start = whole[-1].paragraph + 1 if whole else 0
        first = group[0].paragraph if group else 0
        whole += [replace(one, paragraph=start + max(0, one.paragraph - first)) for one in group]
    made = replace(draft, sentences=tuple(whole))
    return replace(made, reading_ease=reading_ease(made.body))

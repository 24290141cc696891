"""The safety notes of a reply: what was reported first and in full, what the work may bring after it and short."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from triage.model import HazardNote, Sentence
from triage.reply.sentences import sentences
from triage.reply.voice import Voice

MOST_OTHERS = 3
IN_FULL = 2  # more notes than this beside the reported dangers are given in their short form


def stop_lines(notes: Sequence[HazardNote], voice: Voice) -> Iterator[Sentence]:
    """Stop, and get help: only for what is happening."""
    urgent = [note for note in notes if note.urgent]
    if any(note.stop for note in urgent):
        yield from voice.said("stop_using")
    if any(note.emergency for note in urgent):
        yield from voice.said("emergency")


def safety_notes(notes: Sequence[HazardNote], gives_steps: bool, voice: Voice) -> Iterator[Sentence]:
    """The notes with their signal words: dangers that are happening, all and in full; then what else was told of;
    then, when the reply gives steps, what these bring."""
    urgent = [note for note in notes if note.urgent]
    others = _others(notes, gives_steps)
    if urgent or others:
        yield from voice.said("safety_intro")
    in_short = voice.style != "mail" or len(others) > IN_FULL
    for number, note in enumerate([*urgent, *others]):
        text = note.short if in_short and not note.urgent and note.short else note.note
        yield from _line(note, text, number == 0, voice)


def _others(notes: Sequence[HazardNote], gives_steps: bool) -> list[HazardNote]:
    told = [note for note in notes if not note.urgent and note.span is not None]
    proposed = [note for note in notes if not note.urgent and note.span is None and gives_steps]
    return sorted([*told, *proposed][:MOST_OTHERS], key=lambda note: note.signal.rank)


def _line(note: HazardNote, text: str, first: bool, voice: Voice) -> Iterator[Sentence]:
    source = f"hazard:{note.hazard}"
    if voice.style != "aloud":
        yield from voice.line(text, source, f"{note.signal.value}: ")
        return
    aloud = voice.say("safety", note=text) if first else text
    yield from (Sentence(sentence, source) for sentence in sentences(aloud))

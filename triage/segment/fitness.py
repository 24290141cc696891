"""Why a question must not be said in public: danger, what a person must look at first, or the asker's own wish."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from triage.language.phrases import NEGATIVE, GappedPatterns
from triage.language.tokens import Token, tokenise
from triage.model import Decision, HazardNote
from triage.pack import Pack
from triage.segment.asked import Asked


def reasons_against(asked: Asked, pack: Pack) -> tuple[str, ...]:
    """Every reason to keep it off the air, in plain words; none when it may be said."""
    return tuple(_reasons(asked, pack))


def _reasons(asked: Asked, pack: Pack) -> Iterator[str]:
    reading = asked.reading
    pressing = [note for note in reading.hazards if note.urgent or (note.stop and note.span)]
    if pressing:
        yield f"danger reported ({_labels(pressing, pack)}): answer it privately, now"
    elif reading.decision is Decision.HAND_OVER and not reading.unsure:
        yield f"a person must look first: {reading.reasons[0] if reading.reasons else 'handed over'}"
    for text in dict.fromkeys((asked.text, asked.latest)):
        if words := told(text, pack, "private"):
            yield f"the asker does not want it on air: '{words}'"
            return


def reasons_to_look(asked: Asked, pack: Pack) -> tuple[str, ...]:
    """Why a person should look before it is taken: a danger told that may well be happening, though not surely."""
    told_of = [note for note in asked.reading.hazards if note.span and not note.urgent]
    grave = [note for note in told_of if note.hazard in pack.hazards and pack.hazards[note.hazard].stop]
    if not grave:
        return ()
    return (f"danger may be meant ({_labels(grave, pack)}): look at it first, and lock it if it may be said",)


def is_solved(asked: Asked, pack: Pack) -> bool:
    """True when the asker's newest message says that the trouble is over."""
    return bool(told(asked.latest, pack, "solved"))


def _labels(notes: Iterable[HazardNote], pack: Pack) -> str:
    names = dict.fromkeys(note.hazard for note in notes)
    return ", ".join(pack.hazards[name].label if name in pack.hazards else name for name in names)


def told(text: str, pack: Pack, kind: str) -> str:
    """The asker's words that tell what the pack's phrases of that kind tell; "" when none does."""
    tokens = tuple(token for token in tokenise(text) if token.kind != "mark")
    for found in _patterns(pack, kind).find(tokens, _forms(tokens)):
        if not _denied(tokens[found.first : found.last], found.payload):
            return text[tokens[found.first].start : tokens[found.last - 1].end]
    return ""


def _denied(tokens: Sequence[Token], phrase: str) -> bool:
    """True for "the problem is not solved", found by "problem solved"; a phrase may say "not" itself."""
    said, meant = {token.norm for token in tokens} & NEGATIVE, set(re.split(r"[|\s]", phrase)) & NEGATIVE
    return bool(said) and not meant


def _forms(tokens: Sequence[Token]) -> list[frozenset[str]]:
    return [frozenset({token.stem}) for token in tokens]


@lru_cache(maxsize=16)
def _patterns(pack: Pack, kind: str) -> GappedPatterns[str]:
    patterns: GappedPatterns[str] = GappedPatterns()
    for note in pack.segment.values():
        for phrase in note.says if note.kind == kind else ():
            patterns.add(phrase, phrase)
    return patterns

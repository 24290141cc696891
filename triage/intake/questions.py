"""Several questions in one message told apart; a story with one problem stays one question."""

from __future__ import annotations

import re
from itertools import pairwise

from triage.model import Message, Question

_START = r"(?:(?<=\n)|(?<=[.!?)]\s)|(?<=[.!?)]\s\s)|\A)"
_ASKS = re.compile(
    r"\?|\b(?:how (?:do|can|to|much|many|long)|can (?:i|you|we)|could (?:i|you|we)|would (?:it|you)"
    r"|should (?:i|we)|is it (?:ok|okay|safe|possible)|what (?:is|are|size|kind|type)|which|wondering"
    r"|want(?:ed)? to know|need to know|any idea"
    r"|please (?:tell|advise|let me know|send)|do (?:i|you|we) (?:need|have|sell|stock)"
    r"|looking for)\b",
    re.IGNORECASE,
)
_TROUBLE = re.compile(
    r"\b(?:won'?t|will not|does(?:n'?t| not)|isn'?t|can(?:'?t|not)|no longer|stopp?(?:ed|s)|quit|broken?|dead"
    r"|died|problem|trouble|issue|noise|fails?|failed|not (?:work|charg|start|mov|run)\w*)\b",
    re.IGNORECASE,
)
_STRONG = re.compile(
    _START + r"\W{0,3}(?:(?:my |a |and (?:a |my )?|the )?(?:second|third|fourth|other|another|next|last|final"
    r"|separate|unrelated|different) (?:question|thing|query|one)\b"
    r"|(?:oh,? |and )?while (?:i have|i've got|i'm at it|we're at it)"
    r"|one (?:more|other) (?:question|thing)"
    r"|on (?:another|a different|a separate) (?:note|subject|topic|matter)|separately\b"
    r"|unrelated(?:ly)?\b[,:]|something else\b"
    r"|completely (?:different|separate)|p\.?\s?s\.?(?=\W)"
    r"|question (?:2|two|3|three)\b|q[23]\b)",
    re.IGNORECASE,
)
_ALSO = re.compile(
    _START + r"(?:also|additionally|and also|secondly|thirdly|finally|lastly|oh and|besides)\b", re.IGNORECASE
)
_BACKWARD = re.compile(r"\b(?:it|its|it's|that|this|these|those|they|them|same|so|then)\b", re.IGNORECASE)
_OTHER_VEHICLE = re.compile(
    r"(?:\n[ \t]*\n)\s*(?:(?:now|and|then|also|as for|about|on|for|with),? ){0,3}"
    r"(?:my|our|the|his|her) (?:(?:other|second|third|spare|newer|older)\b"
    r"|(?:wife|husband|son|daughter|mother|father|mum|dad|brother|sister|neighbou?r|friend|partner|boss)'?s\b)",
    re.IGNORECASE,
)
_NUMBERED = re.compile(r"(?:\A|(?<=\n))[ \t]*(?:q(?:uestion)?\s?|\()?([1-9])[.):](?=\s)", re.IGNORECASE)
_SENTENCE_END = re.compile(r"[.!?](?:\s|$)|\n\s*\n")
_FEWEST_WORDS = 3
_MOST = 20  # questions of one message; more is a list of something else


def split_questions(message: Message) -> tuple[Question, ...]:
    """The questions of a message, in order; each is an exact slice of its text, and together they cover it.

    A cut is made only where a new question is announced ("second question", a numbered list of questions,
    a paragraph on another vehicle) and there is something asked or told wrong on both sides of it.
    """
    bounds = [0, *_cuts(message.text), len(message.text)]
    slices = [_trimmed(message.text, a, b) for a, b in pairwise(bounds)]
    return tuple(
        Question(
            id=f"{message.id}#{number}",
            text=message.text[start:end],
            subject=message.subject,
            asker=message.sender.name,
            message=message.id,
            offset=start,
        )
        for number, (start, end) in enumerate((s for s in slices if s[0] < s[1]), 1)
    )


def _trimmed(text: str, start: int, end: int) -> tuple[int, int]:
    piece = text[start:end]
    return start + len(piece) - len(piece.lstrip()), start + len(piece.rstrip())


def _cuts(text: str) -> list[int]:
    """Offsets at which a new question starts, ascending."""
    candidates = sorted({*_list_cuts(text), *_strong_cuts(text), *_also_cuts(text), *_vehicle_cuts(text)})
    cuts: list[int] = []
    for at, after in zip(candidates, [*candidates[1:], len(text)], strict=False):
        before = text[cuts[-1] if cuts else 0 : at]
        if _stands_alone(before) and _stands_alone(text[at:after]):
            cuts.append(at)
    return cuts[: _MOST - 1]


def _stands_alone(piece: str) -> bool:
    return len(piece.split()) >= _FEWEST_WORDS and bool(_ASKS.search(piece) or _TROUBLE.search(piece))


def _list_cuts(text: str) -> list[int]:
    """Items 2, 3 ... of a list numbered from 1 in which every item asks something."""
    marks = list(_NUMBERED.finditer(text))
    if len(marks) < 2 or [int(m[1]) for m in marks] != list(range(1, len(marks) + 1)):
        return []
    ends = [m.start() for m in marks[1:]] + [_item_end(text, marks[-1].end())]
    items = [text[m.end() : end] for m, end in zip(marks, ends, strict=True)]
    return [m.start() for m in marks[1:]] if all(_ASKS.search(item) for item in items) else []


def _item_end(text: str, start: int) -> int:
    blank = re.compile(r"\n\s*\n").search(text, start)
    return blank.start() if blank else len(text)


def _strong_cuts(text: str) -> list[int]:
    return [_word_start(text, m.start()) for m in _STRONG.finditer(text) if m.start()]


def _word_start(text: str, at: int) -> int:
    return at + len(text[at:]) - len(text[at:].lstrip())


def _also_cuts(text: str) -> list[int]:
    """ "Also, what size ...?": a question of its own unless it points back ("also, could it be ...?")."""
    return [m.start() for m in _ALSO.finditer(text) if m.start() and _asks_anew(text, m)]


def _asks_anew(text: str, mark: re.Match[str]) -> bool:
    end = _SENTENCE_END.search(text, mark.end())
    sentence = text[mark.end() : end.end() if end else len(text)]
    return "?" in sentence and not _BACKWARD.search(sentence) and "?" in text[: mark.start()]


def _vehicle_cuts(text: str) -> list[int]:
    return [_word_start(text, m.start()) for m in _OTHER_VEHICLE.finditer(text)]

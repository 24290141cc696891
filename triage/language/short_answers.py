"""How people answer a question in a few words: yes, no, both, the second one, no idea; a letter cut into such answers.

English only, as typed on a phone. Nothing here knows what was asked.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from triage.model import Span


class Short(StrEnum):
    """What a few words say to a question."""

    YES = "yes"
    NO = "no"
    BOTH = "both"
    NEITHER = "neither"
    CANNOT_TELL = "cannot tell"


# Written without apostrophes: "dont" stands for "don't". Each phrase is a regular expression; commas part them.
_KNOW = "(?:know|remember|recall|tell|say|find|see|read|get at|measure|work (?:that|it) out)"
_CANNOT = f"""
    no idea, no clue, not a clue,
    (?:havent|have not|have no|aint|aint got|got no)(?: got)? (?:a |any |the )?(?:idea|clue|foggiest),
    not the (?:foggiest|faintest), dunno, (?:dont|do not|didnt|wouldnt) know, idk,
    not(?: too| really| quite| at all)? (?:sure|certain),
    unsure, unknown,
    (?:cant|cannot|can not|couldnt|could not|unable to|wont be able to)(?: really)? {_KNOW},
    no way (?:to|of) (?:know|tell)(?:ing)?, (?:havent|have not|didnt|did not) (?:look|check|measure)(?:ed)?,
    beats me, who knows,
    search me, your guess, (?:worn|rubbed|painted|peeled|faded) (?:off|over|away),
    (?:has|have|is|are|its) gone, unreadable, not readable,
    illegible, no meter,
"""
_YES = """
    yes, yep, yeah, yea, yup, ya, aye, correct, right, thats right, thats correct, indeed, affirmative, sure,
    of course, definitely,
    absolutely, it does, it is, it has, it did, they are, they do, i do, still does, it still does
"""
_NO = """
    no, nope, nah, naw, nay, negative, not at all, not that i (?:know|can see|have seen)(?: of)?, not yet, not any,
    not as far as i know,
    never, none, nothing, isnt, arent, doesnt, didnt, it doesnt, it isnt, it hasnt, it didnt, it does not,
    it is not, they arent,
    they dont, they are not
"""
_BOTH = "both, the two of them"
_NEITHER = "neither, none of (?:them|those|these|the above), not (?:either|any) of (?:them|those)"
_HEDGED = """
    i (?:think|guess|believe|reckon|suppose), maybe, perhaps, probably, possibly, might be, could be, should be,
    about, around,
    roughly, approx\\w*, ish, or so, or thereabouts, as far as i know, afaik, pretty sure, fairly sure,
    not (?:100|a hundred), or,
"""
_OPENINGS = """
    as far as i know, oh, well, er, erm, um, ah, sorry, i think, i believe, im afraid, afraid, so, but, and,
    also, then, hmm
"""
_FILLERS = """
    hi, hello, hey, dear, good (?:morning|day|evening|afternoon), thanks, thank you, many thanks, cheers, regards,
    best, kind,
    ta, sent from, see (?:below|answers), ok, okay, here (?:you go|are|is|goes), hope, let me know, please, as for
"""


def _any(phrases: str) -> str:
    return "|".join(phrase.strip() for phrase in phrases.split(",") if phrase.strip())


_START = rf"^(?:(?:{_any(_OPENINGS)}) )*"
_PATTERNS = {  # the first that fits counts
    Short.CANNOT_TELL: re.compile(rf"\b(?:{_any(_CANNOT)})\b"),
    Short.NEITHER: re.compile(rf"\b(?:{_any(_NEITHER)})\b"),
    Short.BOTH: re.compile(rf"\b(?:{_any(_BOTH)})\b"),
    Short.NO: re.compile(rf"{_START}(?:{_any(_NO)})\b"),
    Short.YES: re.compile(rf"{_START}(?:{_any(_YES)})\b"),
}
_HEDGE = re.compile(rf"\b(?:{_any(_HEDGED)})\b|\?|ish\b")
_FILLER = re.compile(rf"^(?:{_any(_FILLERS)})\b")
_ORDINALS = {
    "first": 0, "1st": 0, "former": 0, "second": 1, "2nd": 1, "third": 2, "3rd": 2, "fourth": 3, "4th": 3,
    "latter": -1, "last": -1,
}  # fmt: skip
_BEFORE = "its, it is, thats, that is, definitely, i think, probably, id say, must be, would be, so, well, the"
_AFTER = "one, kind, sort, type, option, choice, you (?:said|mentioned|named), i think, i guess, mate, please, ones"
_ORDINAL = re.compile(rf"^(?:(?:{_any(_BEFORE)}) )*(?P<which>{'|'.join(_ORDINALS)})(?: (?:{_any(_AFTER)}))*$")
_LETTERED = re.compile(r"^(?:(?:option|number|answer|choice) (?P<which>[a-d1-4])|(?P<letter>[a-d]))$")
_LABEL = re.compile(
    r"^[ \t]*(?:[-*•]\s*)?(?:\(?(?P<number>[1-9])[.):](?!\d)|(?P<letter>[a-d])\)|q(?P<q>[1-9])\s*[.:)]?)\s*",
    re.IGNORECASE,
)
_CUT = re.compile(r"\n+|(?<=[.!?;])(?<!\b[1-9]\.)\s+|\s+(?=\(?[1-9][).]\s)|,?\s+(?:and|but)\s+(?=\S)|,\s+")


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of a letter that may answer one question; `number` is the one it is numbered with, 0 for none."""

    text: str
    span: Span
    number: int = 0

    @property
    def plain(self) -> str:
        """Lower case, apostrophes and marks gone."""
        return _plain(self.text)


def _plain(text: str) -> str:
    bare = re.sub(r"['’‘`]", "", text.lower())
    return " ".join(re.sub(r"[^\w/?]+", " ", bare).split())


def short(piece: Piece) -> Short | None:
    """What it says for itself: yes, no, both, neither, cannot tell; None where it says something else.

    >>> short(Piece("Nope.", Span(0, 5))), short(Piece("haven't a clue", Span(0, 14))), short(Piece("48", Span(0, 2)))
    (<Short.NO: 'no'>, <Short.CANNOT_TELL: 'cannot tell'>, None)
    """
    return next((kind for kind, pattern in _PATTERNS.items() if pattern.search(piece.plain)), None)


def which(piece: Piece, offers: int) -> int | None:
    """The position meant by "the second one", "the latter", "option b" among so many offers; None for none.

    >>> which(Piece("the latter", Span(0, 10)), 2), which(Piece("the third", Span(0, 9)), 2)
    (1, None)
    """
    found = _ORDINAL.match(piece.plain.rstrip("? "))
    if found:
        place = _ORDINALS[found["which"]] % offers if offers else -1
        return place if 0 <= place < offers and _ORDINALS[found["which"]] < offers else None
    lettered = _LETTERED.match(piece.plain)
    if not lettered:
        return None
    sign = lettered["which"] or lettered["letter"]
    place = int(sign) - 1 if sign.isdigit() else ord(sign) - ord("a")
    return place if place < offers else None


def is_hedged(piece: Piece) -> bool:
    """True for "about 2015", "48 I think"."""
    return bool(_HEDGE.search(piece.plain))


def is_filler(piece: Piece) -> bool:
    """A greeting or thanks, which answer nothing."""
    return not piece.plain or bool(_FILLER.match(piece.plain))


def pieces(text: str) -> Iterator[Piece]:
    """The letter cut at lines, sentences, numbers of a list, commas and "and"; each with its place in the text."""
    start = 0
    for cut in [*_CUT.finditer(text), None]:
        end = cut.start() if cut else len(text)
        yield from _piece(text, start, end)
        start = cut.end() if cut else end


def lines(text: str) -> Iterator[Piece]:
    """The letter cut at lines only."""
    for line in re.finditer(r"[^\n]+", text):
        yield from _piece(text, line.start(), line.end())


def _piece(text: str, start: int, end: int) -> Iterator[Piece]:
    label = _LABEL.match(text[start:end])
    number = 0
    if label and text[start + label.end() : end].strip():
        sign = label["number"] or label["q"] or str(ord(label["letter"].lower()) - ord("a") + 1)
        number, start = int(sign), start + label.end()
    bare = text[start:end].strip()
    if bare:
        begin = start + text[start:end].index(bare)
        yield Piece(bare, Span(begin, begin + len(bare)), number)

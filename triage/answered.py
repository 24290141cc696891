"""The asker's answer to what we asked back, read in the context of the questions: "48", "the second one", "no idea".

What the words tell by themselves ("it is a 48 volt cart") is read like any text. This reads what only the question
gives a meaning to.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from triage.language import Document
from triage.language.quantities import Quantity
from triage.language.short_answers import Piece, Short, is_filler, is_hedged, lines, pieces, short, which
from triage.model import Fact, FactValue, Span, Standing
from triage.pack.schema import FactKind

_LONGEST_NAME = 4  # words; a longer answer to "what make is it?" is a story
_LEAD_IN = frozenset("it its it's is a an the make model i think that thats that's says said so well just".split())
_NO_NAME = frozenset("has have had was were gone there on not no will would can do does did you your me my we".split())
Kinds = Mapping[str, FactKind]


@dataclass(frozen=True, slots=True)
class Asked:
    """One fact that was asked for; `thought` is what the asker had been unsure of."""

    fact: str
    thought: FactValue | None = None


@dataclass(frozen=True, slots=True)
class Answers:
    """What an answer tells in its context; spans are into the text of the answer."""

    facts: tuple[Fact, ...] = ()
    cannot_tell: frozenset[str] = frozenset()  # asked, and not to be asked again


def answers_in(asked: Sequence[Asked], document: Document, told: Iterable[Fact], kinds: Kinds) -> Answers:
    """Read an answer against what was asked, in the order it was asked; `told` is what its words tell by themselves."""
    told = [fact for fact in told if fact.span is not None and not fact.message]
    known = {fact.name for fact in told}
    open_ = [one for one in asked if one.fact in kinds and one.fact not in known]
    if not open_:
        return Answers()
    hearing = _Hearing(tuple(asked), open_, document, kinds, [fact.span for fact in told if fact.span])
    for piece in _cut(document.text, len(open_)):
        hearing.hear(piece)
    return Answers(tuple(hearing.facts), frozenset(hearing.cannot_tell))


def _cut(text: str, asked: int) -> list[Piece]:
    """Lines where each line answers one question, else smaller pieces."""
    by_line = [piece for piece in lines(text) if not is_filler(piece)]
    if len(by_line) > 1 and (all(piece.number for piece in by_line) or len(by_line) == asked):
        return [small for line in by_line for small in _within(line)]
    return [piece for piece in pieces(text) if not is_filler(piece)]


def _within(line: Piece) -> Iterator[Piece]:
    """A line's pieces; all carry its number."""
    for piece in pieces(line.text):
        shifted = replace(piece.span, start=piece.span.start + line.span.start, end=piece.span.end + line.span.start)
        yield replace(piece, span=shifted, number=line.number or piece.number)


class _Hearing:
    """One answer on its way: which questions are still open, and what was understood so far."""

    def __init__(
        self, asked: tuple[Asked, ...], open_: list[Asked], document: Document, kinds: Kinds, taken: Sequence[Span]
    ) -> None:
        self._asked, self._open, self._document, self._kinds = asked, open_, document, kinds
        self._taken = taken  # words that tell something by themselves
        self.facts: list[Fact] = []
        self.cannot_tell: list[str] = []

    def hear(self, piece: Piece) -> None:
        """Take a piece for the answer to the first open question that it can answer; of numbers the likeliest."""
        said = short(piece)
        if said in (Short.BOTH, Short.NEITHER) and self._to_several(piece, said):
            return
        if said is Short.CANNOT_TELL and not self._open and self.facts:
            self.facts[-1] = replace(self.facts[-1], standing=Standing.HEDGED)  # "48, but I am not certain"
            return
        candidates = self._meant(piece)
        for strict in (True, False):
            for one in candidates:
                if self._answers(one, piece, said, strict):
                    self._open.remove(one)
                    return

    def _meant(self, piece: Piece) -> list[Asked]:
        """The question it is numbered or labelled with, else all open ones in order."""
        if 0 < piece.number <= len(self._asked):
            return [one for one in self._open if one == self._asked[piece.number - 1]]
        labelled = [one for one in self._open if _labels(self._kinds[one.fact], piece)]
        return labelled or list(self._open)

    def _answers(self, one: Asked, piece: Piece, said: Short | None, strict: bool) -> bool:
        kind = self._kinds[one.fact]
        if said is Short.CANNOT_TELL:
            self.cannot_tell.append(one.fact)
            return True
        value = self._value(one, kind, piece, said, strict)
        if value is not None:
            standing = Standing.HEDGED if is_hedged(piece) or self._is_range(piece) else Standing.STATED
            self._tell(one.fact, value, piece, standing)
            return True
        if said is Short.NO and one.thought is not None:
            self._tell(one.fact, one.thought, piece, Standing.DENIED)
            return True
        if said is Short.NO and (kind.kind == "list" or kind.id == "error_code"):
            self.cannot_tell.append(one.fact)  # nothing to tell
            return True
        return False

    def _value(self, one: Asked, kind: FactKind, piece: Piece, said: Short | None, strict: bool) -> FactValue | None:
        number = self._number(kind, piece, strict) if kind.kind == "number" else None
        if number is not None:
            return number
        place = which(piece, len(kind.offers))
        if place is not None:
            return _typed(kind, kind.offers[place])
        if said in (Short.YES, Short.NO):
            return _meant_by(said, one, kind)
        if kind.kind == "choice":
            return _named(kind, piece)
        return None if strict or kind.kind != "text" or self._is_taken(piece) else _name(piece)

    def _is_taken(self, piece: Piece) -> bool:
        return any(span.start < piece.span.end and piece.span.start < span.end for span in self._taken)

    def _number(self, kind: FactKind, piece: Piece, strict: bool) -> FactValue | None:
        """The number of a piece, where it can be this fact's; strict: its unit is written, or it is a usual value."""
        found = [v for q in self._quantities(piece) if (v := _fitting(kind, q, strict)) is not None]
        return found[-1] if len(set(found)) == 1 or (found and _takes_back(piece)) else None

    def _quantities(self, piece: Piece) -> list[Quantity]:
        tokens = self._document.tokens
        inside = [q for q in self._document.quantities if _within_piece(piece, tokens[q.first].start)]
        return inside + [
            Quantity(float(token.text.lstrip("'’‘`")), "", index, index + 1)
            for index, token in enumerate(tokens)
            if token.kind == "year" and _within_piece(piece, token.start)
        ]

    def _is_range(self, piece: Piece) -> bool:
        return any(quantity.high is not None for quantity in self._quantities(piece))

    def _to_several(self, piece: Piece, said: Short) -> bool:
        """ "yes to both", "neither": the same to every open question that takes a yes or no."""
        word = Short.NO if said is Short.NEITHER or piece.plain.startswith("no ") else Short.YES
        values = {one: _meant_by(word, one, self._kinds[one.fact]) for one in self._open}
        if len(values) < 2 or None in values.values():
            return False
        for one, value in values.items():
            self._tell(one.fact, value or 0, piece, Standing.STATED)
        self._open.clear()
        return True

    def _tell(self, name: str, value: FactValue, piece: Piece, standing: Standing) -> None:
        unit = self._kinds[name].unit
        basis = f"answer to '{self._kinds[name].ask}': '{piece.text}'"
        self.facts.append(Fact(name, value, unit, standing, piece.span, basis))


def _labels(kind: FactKind, piece: Piece) -> bool:
    """ "voltage: 48", "year 2015": a word of the fact's name, which no offer of it is."""
    own = {word for word in f"{kind.id.replace('_', ' ')} {kind.label}".lower().split() if len(word) > 3}
    return bool(own & set(piece.plain.split()[:4])) and len(piece.plain.split()) > 1


def _within_piece(piece: Piece, start: int) -> bool:
    return piece.span.start <= start < piece.span.end


def _fitting(kind: FactKind, quantity: Quantity, strict: bool) -> FactValue | None:
    value = _full_year(quantity.value) if kind.id == "year" else quantity.value
    low, high = kind.low if kind.low is not None else value, kind.high if kind.high is not None else value
    if quantity.unit.rstrip("s") not in (kind.unit.rstrip("s"), "") or not low <= value <= high:
        return None
    usual = not kind.values or f"{value:g}" in kind.values or (bool(kind.unit) and quantity.unit == kind.unit)
    return _plain_number(value) if usual or not strict else None


def _full_year(value: float) -> float:
    """'15 is 2015, '98 is 1998."""
    if not value.is_integer() or not 0 <= value < 100:
        return value
    return value + (2000 if value <= 40 else 1900)


def _plain_number(value: float) -> int | float:
    return int(value) if float(value).is_integer() else value


def _takes_back(piece: Piece) -> bool:
    words = piece.plain.split()
    return any(word in words for word in ("sorry", "wait", "actually", "correction", "meant", "rather"))


def _typed(kind: FactKind, text: str) -> FactValue | None:
    """A value of the pack's file as the fact holds it; None where one offer stands for several values."""
    if "|" in text or not text:
        return None
    return _plain_number(float(text)) if kind.kind == "number" else text


def _meant_by(said: Short, one: Asked, kind: FactKind) -> FactValue | None:
    if said is Short.YES and one.thought is not None:
        return one.thought
    text = kind.if_yes if said is Short.YES else kind.if_no
    return _typed(kind, text) if text else None


def _named(kind: FactKind, piece: Piece) -> FactValue | None:
    """The value that a piece names, in its own words or in those the pack lists; the longest words count."""
    words = f" {piece.plain} "
    listed = {value: [*kind.told.get(value, ()), value.lower()] for value in dict.fromkeys((*kind.values, *kind.told))}
    found = [(len(phrase), value) for value, told in listed.items() for phrase in told if f" {phrase} " in words]
    best = {value for length, value in found if length == max(found)[0]}
    return best.pop() if len(best) == 1 else None


def _name(piece: Piece) -> FactValue | None:
    """A short answer to a question for a name: its words without "it's a"."""
    words = piece.text.strip(" .!\"'").split()
    if _NO_NAME.intersection(piece.plain.split()):
        return None
    while words and words[0].lower().strip(",:") in _LEAD_IN:
        words = words[1:]
    return " ".join(words) if 0 < len(words) <= _LONGEST_NAME else None

"""Error codes and blinks: "code 14", "F7 on the display", "the dash says 62", "blinks 5 times", "three, then two"."""

from __future__ import annotations

from collections.abc import Iterator

from triage.facts.candidate import Candidate, words_basis
from triage.facts.trade import Trade
from triage.language import Document
from triage.language.cues import Cue
from triage.language.quantities import Quantity

_TO_THE_CODE = frozenset("number no is of : # = says reads shows was a came up".split())
_ON_A_DISPLAY = frozenset("says say shows showing reads with flashing flashes displays saying gives has said".split())
_TIMES = {"once": 1, "twice": 2, "thrice": 3}
_GOING_ON = frozenset("then and , - pause gap again followed by".split())
_GUESSING = frozenset(", i think maybe about like um for me at".split())
_COLOURS = frozenset("red green amber yellow orange blue short quick long slow little fast".split())
_COUNTING_ON = frozenset("times time x blinks flashes beeps short long red green".split())
_COUNTED = frozenset("hours hour minutes miles volts volt percent lights lamps light lamp leds bars bar".split())
_REACH = 4  # words from "code" to the code
_MOST = 30  # blinks anybody would count
_LONGEST = 4  # digits of a code


def find(document: Document, trade: Trade) -> Iterator[Candidate]:
    """Candidates for error_code: a code as shown, or the blinks counted ("5", "3,2"); each code once."""
    seen: set[object] = set()
    for candidate in (*_named(document), *_shown(document, trade), *_blinked(document)):
        if candidate.value not in seen and not document.scopes.denied(candidate.first, candidate.last):
            seen.add(candidate.value)
            yield candidate


def _candidate(document: Document, value: str, first: int, last: int) -> Candidate:
    return Candidate("error_code", value, first, last, basis=words_basis(document, first, last))


def _named(document: Document) -> Iterator[Candidate]:
    """ "code 14", "error code e03", "fault number 7"."""
    for cue in document.scopes.cues("code"):
        index = cue.last
        while index < cue.last + _REACH and document.norm(index) in _TO_THE_CODE:
            index += 1
        last = _code_end(document, index)
        if last and document.same_sentence(cue.first, index):
            yield _candidate(document, _code(document, index, last), cue.first, last)


def _shown(document: Document, trade: Trade) -> Iterator[Candidate]:
    """ "the dash says 62", "F7 on the display"; not "it says 48 on the dash", which is the pack's volts."""
    for cue in document.scopes.cues("display"):
        said = document.norm(cue.last) in _ON_A_DISPLAY
        last = _code_end(document, cue.last + 1) if said else 0
        if last and not _is_usual(document, cue.last + 1, last, trade):
            yield _candidate(document, _code(document, cue.last + 1, last), cue.last + 1, last)
        first = next((i for i in range(cue.first - 4, cue.first - 2) if _is_lettered(document, i)), -1)
        if first >= 0 and document.norm(first + 2) in ("on", "in") and document.same_sentence(first, cue.first):
            yield _candidate(document, _code(document, first, first + 2), first, first + 2)


def _is_usual(document: Document, first: int, last: int, trade: Trade) -> bool:
    """A figure that is a pack's volts, or has letters behind it that count something."""
    text = document.norm(first)
    volts = last == first + 1 and text.isdecimal() and float(text) in trade.pack_voltages
    return volts or document.norm(last) in _COUNTED


def _code_end(document: Document, index: int) -> int:
    """Index past a code that starts here: a short whole number with no unit, or letters with a figure; else 0."""
    if index >= len(document.tokens):
        return 0
    if _is_lettered(document, index):
        return index + 2
    quantity = next(iter(document.quantities_from(index, 0)), None)
    plain = quantity is not None and not (quantity.unit or quantity.decimal or quantity.high is not None)
    if quantity is None or not plain or document.norm(quantity.last) in _COUNTED or quantity.value >= 10**_LONGEST:
        return 0
    return quantity.last


def _is_lettered(document: Document, index: int) -> bool:
    """ "F7", "e03": one to three letters with a figure glued to them."""
    if not 0 <= index < len(document.tokens) - 1:
        return False
    letters, figure = document.tokens[index], document.tokens[index + 1]
    glued = letters.end == figure.start and letters.is_word and figure.kind == "number" and figure.text.isdecimal()
    return glued and len(letters.text) <= 3 and len(figure.text) <= _LONGEST


def _code(document: Document, first: int, last: int) -> str:
    quantity = next(iter(document.quantities_from(first, 0)), None)
    if quantity is not None and quantity.last == last and document.tokens[first].is_word:
        return f"{quantity.value:g}"
    return document.words(first, last).upper()


def _blinked(document: Document) -> Iterator[Candidate]:
    """Blinks, flashes or beeps that were counted, before the word or after it."""
    end = 0
    for cue in document.scopes.cues("blink"):
        counts = [*_counts_before(document, cue)[:1], *_counts_after(document, cue)]
        if counts and cue.first >= end:
            first, last = min(counts[0].first, cue.first), max(counts[-1].last, cue.last)
            end = last
            yield _candidate(document, ",".join(f"{count.value:g}" for count in counts), first, last)


def _counts_before(document: Document, cue: Cue) -> list[Quantity]:
    """ "five beeps", "6 short red flashes"."""
    index = cue.first
    while document.norm(index - 1) in _COLOURS | {"-"}:
        index -= 1
    return [q for q in document.quantities_from(index - 3, 2) if q.last == index and _can_count(q) and q.value > 1]


def _counts_after(document: Document, cue: Cue) -> list[Quantity]:
    """ "blinks 5 times", "flashes three then two", "flashes twice"."""
    counts, index = list[Quantity](), cue.last
    while index < len(document.tokens) and document.same_sentence(cue.first, index) and len(counts) < 4:
        word = document.norm(index)
        quantity = next(iter(document.quantities_from(index, 0)), None)
        if word in _TIMES:
            quantity = Quantity(_TIMES[word], "", index, index + 1)
        if quantity is not None and _can_count(quantity) and document.norm(quantity.last) not in _COUNTED:
            counts.append(quantity)
            index = quantity.last
        elif word in _COUNTING_ON | _COLOURS | (_GOING_ON if counts else _GUESSING):
            index += 1
        else:
            break
    return counts


def _can_count(quantity: Quantity) -> bool:
    whole = not (quantity.unit or quantity.decimal or quantity.high is not None)
    return whole and 1 <= quantity.value <= _MOST

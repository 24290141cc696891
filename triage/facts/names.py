"""Makes and models that the catalogue knows, and words that only look like one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rapidfuzz import fuzz

from triage.facts.candidate import Candidate, words_basis
from triage.facts.trade import DETERMINERS, Trade
from triage.language import Document, Mention
from triage.language.numbers import WORD_VALUES
from triage.language.spelling import english
from triage.language.tokens import Token
from triage.model import Standing
from triage.pack.schema import Vehicle

_BEFORE_NAMES = frozenset(
    "model make v volt volts carby carb injected efi lithium agm gel two three four of both batteries".split()
)
_PLACES = frozenset("up down over along across onto atop near by towards".split())
_PLAIN_THINGS = frozenset("on of in".split())  # "a NAME on the gauge"
_SEATS = frozenset("seat seats seater seaters places passengers passenger".split())
_LIKE_THE_MAKE = 75  # of 100: a misspelt make inside an alias
VEHICLE_NOUNS = frozenset(
    "cart carts buggy buggies cars car model vehicle utility shuttle shuttles golf electric petrol gas trolley "
    "machine boat scooter tractor mower carriage ute wagon runabout mover".split()
)


def find(document: Document, trade: Trade) -> Iterator[Candidate]:
    """Makes and models of the catalogue; the longest name at each place wins."""
    end = 0
    for mention in _longest_names(document):
        if mention.first < end or not _is_meant(document, mention):
            continue
        end = mention.last
        yield from _named(document, mention, _name_basis(document, mention))
        yield from _voltage_in_name(document, mention, trade)


def _named(document: Document, mention: Mention, basis: str) -> Iterator[Candidate]:
    if mention.entry.key in ("make", "model"):
        yield Candidate(mention.entry.key, mention.entry.value, mention.first, mention.last, basis=basis)
        return
    make, model = mention.entry.value.split("\t")
    if _says(document, mention, make):
        yield Candidate("make", make, mention.first, mention.last, basis=basis)
    yield Candidate("model", model, mention.first, mention.last, basis=basis)


def _longest_names(document: Document) -> list[Mention]:
    rank = {"make_model": 0, "make": 1, "model": 2}
    return sorted(document.of_kind("name"), key=lambda m: (m.first, -m.last, rank[m.entry.key]))


def _says(document: Document, mention: Mention, make: str) -> bool:
    """An alias that holds (something like) the make says the make; else the catalogue will add it."""
    typed = [token.norm for token in document.tokens[mention.first : mention.last]]
    return any(fuzz.ratio(word, make.lower()) >= _LIKE_THE_MAKE for word in typed)


def _voltage_in_name(document: Document, mention: Mention, trade: Trade) -> Iterator[Candidate]:
    """A name with the pack's volts in it also tells the voltage; a model's own name only lets it be inferred."""
    for index in range(mention.first + 1, mention.last):
        text = document.tokens[index].text
        if text.isdecimal() and float(text) in trade.pack_voltages:
            basis = words_basis(document, mention.first, mention.last)
            own = text in mention.entry.value.split("\t")[-1].split()
            standing = Standing.INFERRED if own else Standing.STATED
            yield Candidate("pack_voltage", int(text), index, index + 1, "V", basis=basis, standing=standing)


def _name_basis(document: Document, mention: Mention) -> str:
    """Says so when what was typed is not how the catalogue writes the name."""
    typed = document.words(mention.first, mention.last)
    meant = mention.entry.value.replace("\t", " ")
    known = set(meant.lower().split())
    words = (token.text.lower() for token in document.tokens[mention.first : mention.last] if token.is_word)
    same = all(word in known or word.removesuffix("s") in known for word in words)
    return f"words: '{typed}'" if same else f"'{typed}' read as '{meant}'"


def _is_meant(document: Document, mention: Mention) -> bool:
    """A name that is also an English word needs a sign that the vehicle is meant."""
    tokens = document.tokens
    typed = [token.norm for token in tokens[mention.first : mention.last] if token.is_word]
    if len(typed) != 1 or any(word not in english() for word in typed) or mention.last - mention.first > len(typed):
        return True
    if any(other.entry.key == "make" for other in document.before("name", mention.first, 0)):
        return True
    return not _is_plain_word(document, mention) and _has_sign(document, mention)


def _is_plain_word(document: Document, mention: Mention) -> bool:
    """ "up the NAME", "by NAME", "a NAME on the gauge": lower case, and where a place or thing stands."""
    token, first = document.tokens[mention.first], mention.first
    if token.text[0].isupper():
        return False
    article = 1 if document.norm(first - 1) in ("the", "a", "an", "this", "that") else 0
    if document.norm(first - 1 - article) in _PLACES:
        return True
    return (
        document.norm(first - 1) in ("a", "the")
        and document.norm(mention.last) in _PLAIN_THINGS
        and (document.norm(first - 2) in ("s", "is", "was", "theres", "see", "saw"))
    )


def _has_sign(document: Document, mention: Mention) -> bool:
    tokens, first = document.tokens, mention.first
    token = tokens[first]
    before = tokens[first - 1] if first else None
    after = tokens[mention.last] if mention.last < len(tokens) else None
    if before and (before.norm in DETERMINERS | _BEFORE_NAMES or _is_figure(before)):
        return True
    if after and (_is_figure(after) or after.norm in VEHICLE_NOUNS):
        return True
    if before is None or before.sentence != token.sentence or before.kind == "mark":
        return True  # opens a sentence or an aside: "NAME. tank drips"
    return token.text[0].isupper() and not before.text[0].isupper()


def _is_figure(token: Token) -> bool:
    return token.kind in ("number", "year") or token.norm in WORD_VALUES


def by_seats(document: Document, named: Sequence[Candidate], vehicles: Sequence[Vehicle]) -> Iterator[Candidate]:
    """ "the MAKE with 6 places": the one model whose name ends in its number of seats."""
    makes = {candidate.value for candidate in named if candidate.name == "make"}
    for quantity in document.quantities:
        if document.norm(quantity.last) not in _SEATS or quantity.unit or not 2 <= quantity.value <= 20:
            continue
        ending = f" {quantity.value:g}"
        fit = {v.model for v in vehicles if v.model.endswith(ending) and (not makes or v.make in makes)}
        if len(fit) == 1:
            model = fit.pop()
            words = document.words(quantity.first, quantity.last + 1)
            basis = f"'{words}' read as the {model}"
            yield Candidate("model", model, quantity.first, quantity.last + 1, basis=basis)
            return

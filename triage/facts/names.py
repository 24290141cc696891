"""Makes and models that the catalogue knows, and words that only look like one."""

from __future__ import annotations

from collections.abc import Iterator

from rapidfuzz import fuzz

from triage.facts.candidate import Candidate, words_basis
from triage.facts.trade import DETERMINERS, Trade
from triage.language import Document, Mention
from triage.language.spelling import english
from triage.language.tokens import Token
from triage.model import Standing

_BEFORE_NAMES = frozenset("v volt volts carby carb injected efi lithium agm gel two three four of both".split())
_LIKE_THE_MAKE = 75  # of 100: a misspelt make inside an alias
VEHICLE_NOUNS = frozenset(
    "cart carts buggy buggies cars car model vehicle utility shuttle golf electric petrol gas".split()
)


def _says(document: Document, mention: Mention, make: str) -> bool:
    """An alias that holds (something like) the make says the make; else the catalogue will add it."""
    typed = [token.norm for token in document.tokens[mention.first : mention.last]]
    return any(fuzz.ratio(word, make.lower()) >= _LIKE_THE_MAKE for word in typed)


def _voltage_in_name(document: Document, mention: Mention, trade: Trade) -> Iterator[Candidate]:
    """A name with the pack's volts in it also tells the voltage."""
    for index in range(mention.first + 1, mention.last):
        token = document.tokens[index]
        if token.kind == "number" and token.text.isdigit() and float(token.text) in trade.pack_voltages:
            basis = words_basis(document, mention.first, mention.last)
            yield Candidate(
                "pack_voltage", int(token.text), index, index + 1, "V", basis=basis, standing=Standing.STATED
            )


def find(document: Document, trade: Trade) -> Iterator[Candidate]:
    """Makes and models of the catalogue; the longest name at each place wins."""
    end = 0
    for mention in _longest_names(document):
        if mention.first < end or not _is_meant(document, mention):
            continue
        end = mention.last
        basis = _name_basis(document, mention)
        if mention.entry.key == "make":
            yield Candidate("make", mention.entry.value, mention.first, mention.last, basis=basis)
        elif mention.entry.key == "model":
            yield Candidate("model", mention.entry.value, mention.first, mention.last, basis=basis)
        else:
            make, model = mention.entry.value.split("\t")
            if _says(document, mention, make):
                yield Candidate("make", make, mention.first, mention.last, basis=basis)
            yield Candidate("model", model, mention.first, mention.last, basis=basis)
        yield from _voltage_in_name(document, mention, trade)


def _longest_names(document: Document) -> list[Mention]:
    names = document.of_kind("name")
    rank = {"make_model": 0, "make": 1, "model": 2}
    return sorted(names, key=lambda m: (m.first, -m.last, rank[m.entry.key]))


def _name_basis(document: Document, mention: Mention) -> str:
    typed = document.words(mention.first, mention.last)
    meant = mention.entry.value.replace("\t", " ")
    mended = any(t.norm != t.text.lower() for t in document.tokens[mention.first : mention.last])
    return f"'{typed}' read as '{meant}'" if mended else f"words: '{typed}'"


def _is_meant(document: Document, mention: Mention) -> bool:
    """A name that is also an English word needs a sign that the vehicle is meant."""
    tokens = document.tokens
    typed = [token.norm for token in tokens[mention.first : mention.last] if token.is_word]
    if not typed or any(word not in english() for word in typed) or mention.last - mention.first > len(typed):
        return True
    if any(other.entry.key == "make" and other.last == mention.first for other in document.of_kind("name")):
        return True
    before = tokens[mention.first - 1] if mention.first else None
    after = tokens[mention.last] if mention.last < len(tokens) else None
    return _has_sign(tokens[mention.first], before, after)


def _has_sign(token: Token, before: Token | None, after: Token | None) -> bool:
    if before and (before.kind in ("number", "year") or before.norm in DETERMINERS or before.norm in _BEFORE_NAMES):
        return True
    if after and (after.kind in ("number", "year") or after.norm in VEHICLE_NOUNS):
        return True
    if before is None or before.sentence != token.sentence or before.kind == "mark":
        return (
            after is None or after.kind == "mark" or after.is_word
        )  # opens a sentence or an aside: "wren. tank drips"
    return token.text[0].isupper() and not before.text[0].isupper()

"""Ordinary words used as a vehicle's name that no catalogue lists: "my Hopper", "a 2012 hopper", "Hopper Li, 48 V"."""

from __future__ import annotations

from collections.abc import Container, Iterator

from triage.facts.names import VEHICLE_NOUNS
from triage.facts.trade import Trade
from triage.facts.unknown_words import is_cased
from triage.facts.years import year_at
from triage.language import Document
from triage.language.numbers import WORD_VALUES

_HAVING = frozenset("my our his her a an".split())
_DESCRIBING = frozenset("old older new newer small little big the used secondhand".split())
_DETERMINERS = _HAVING | {"the", "this", "for", "on", "of", "in"}
_SHORT_KINDS = frozenset({"li", "efi", "ac", "mk"})
_ACTING = frozenset("wont clicks keeps doesnt stopped died runs turns starts drives".split())
_ADVERBS = ("ly", "ing", "ed", "er", "est")
_NO_TAIL = frozenset("i a an ok it is to no so on in by at my me we do go of or uk us tv gps".split())
_MEANINGS = ("cue", "part", "value", "work", "modification", "use", "implies", "name", "done", "outcome")
_LONGEST_TAIL = 3
_LOOKED_AT = 400  # tokens


def find(document: Document, trade: Trade, everyday: Container[str]) -> Iterator[int]:
    """Places of the first word of everyday spelling that is used as a name, and of the same word elsewhere."""
    taken = {cue.first for cue in document.scopes.cues("not_a_name")}
    cased = is_cased(document)
    for index in range(min(len(document.tokens), _LOOKED_AT)):
        if index not in taken and _may_be(document, index, everyday, cased) and _is_used(document, trade, index, cased):
            name = document.norm(index)
            yield from (i for i, token in enumerate(document.tokens) if token.norm == name)
            return


def _may_be(document: Document, index: int, everyday: Container[str], cased: bool) -> bool:
    """A word of three letters or more that means nothing else here."""
    token = document.tokens[index]
    word = token.is_word and len(token.norm) >= 3 and token.text.isalpha()
    if not word or (cased and not token.text.istitle()) or token.norm in VEHICLE_NOUNS or token.norm in WORD_VALUES:
        return False
    of_part = bool(document.between("part", index + 1, index + 1)) and not cased
    return token.norm not in everyday and not of_part and not _has_meaning(document, index)


def _has_meaning(document: Document, index: int) -> bool:
    near = (m for kind in _MEANINGS for m in document.between(kind, index - 6, index))
    return any(m.first <= index < m.last for m in near)


def _is_used(document: Document, trade: Trade, index: int, cased: bool) -> bool:
    """As names are: after "my" or a year, before a year, volts or a short tail such as Li."""
    first, told = _described_from(document, trade, index)
    before = document.norm(first - 1) if first and document.same_sentence(first - 1, index) else ""
    opens = not before or document.tokens[first - 1].kind == "mark"
    after = _is_followed(document, trade, index + 1, cased)
    if cased and not opens:
        return before in _HAVING or ((told or after) and before in _DETERMINERS)
    acts = before in ("my", "our") and document.norm(index + 1) in _ACTING
    plain = document.norm(index).endswith(_ADVERBS)  # "roughly 48 volts", "charging 48"
    return acts or ((told or after) and ((opens and not plain) or before in _DETERMINERS))


def _described_from(document: Document, trade: Trade, index: int) -> tuple[int, bool]:
    """Where what describes the name begins, and whether it tells a year, volts or a kind: "old 36 volt", "2012"."""
    told = False
    for _ in range(4):
        quantity = next((q for q in document.quantities_from(index - 3, 2) if q.last == index and q.unit == "V"), None)
        kind = next((m for m in document.before("value", index, 0)), None)
        if quantity and quantity.value not in trade.pack_voltages:
            break  # "12 V accessory battery"
        if quantity or kind:
            index, told = (quantity or kind).first, True  # type: ignore[union-attr]
        elif index and year_at(document, trade, index - 1):
            index, told = index - 1, True
        elif document.norm(index - 1) in _DESCRIBING - {"the"}:
            index -= 1
        else:
            break
    return index, told


def _is_followed(document: Document, trade: Trade, index: int, cased: bool) -> bool:
    """A year, volts, a kind, a vehicle noun or a short tail follows."""
    if index >= len(document.tokens) or not document.same_sentence(index - 1, index):
        return False
    index += document.norm(index) in (",", "(")
    if index >= len(document.tokens):
        return False
    here = document.quantities_from(index, 0)
    volts = any(q.unit == "V" or (not q.unit and q.value in trade.pack_voltages) for q in here)
    if volts or year_at(document, trade, index) or document.norm(index) in VEHICLE_NOUNS:
        return True
    kinds = document.between("value", index, index)
    short = _is_tail(document, index) if cased else document.norm(index) in _SHORT_KINDS
    return bool(kinds) or short


def _is_tail(document: Document, index: int) -> bool:
    """ "Li", "P", "EFI": letters that tell which of a model."""
    token = document.tokens[index]
    return token.is_word and token.norm not in _NO_TAIL and len(token.text) <= _LONGEST_TAIL and (
        token.text.isupper() or token.text in ("Li", "Mk")
    )  # fmt: skip

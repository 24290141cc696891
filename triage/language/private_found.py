"""The values of leaving out what tells who somebody is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from enum import StrEnum


class Kind(StrEnum):
    """What a find tells."""

    NAME = "name"
    PHONE = "phone"
    MAIL = "mail"
    LINK = "link"
    ADDRESS = "address"
    NUMBER = "number"  # of an order, an invoice, an account
    SERIAL = "serial"  # of a vehicle: serial number or plate


INSTEAD = {
    Kind.NAME: "a reader",
    Kind.PHONE: "a number",
    Kind.MAIL: "a mail address",
    Kind.LINK: "a link",
    Kind.ADDRESS: "an address",
    Kind.NUMBER: "a number",
    Kind.SERIAL: "a number",
}


@dataclass(frozen=True, slots=True)
class Found:
    """A stretch of the text (offsets, half open), what it tells, and the plain words for it."""

    kind: Kind
    start: int
    end: int
    instead: str

    def with_end(self, end: int) -> Found:
        """The same up to another end."""
        return replace(self, end=end)


@dataclass(frozen=True, slots=True)
class Particulars:
    """Whom we know, and what must stay. Names as written ("Joan Pike"); `numbers` as told, such as a serial number.

    `keep` are words of the trade that look like names: makes, models, the shop's own name. With `usual` given, a word
    that is not among them and has a capital in mid-sentence is taken for a name.
    """

    names: tuple[str, ...] = ()
    numbers: tuple[str, ...] = ()
    keep: frozenset[str] = field(default=frozenset())  # lower case, single words
    usual: frozenset[str] = field(default=frozenset())  # lower case: every word that the texts of the trade have

    @classmethod
    def of(
        cls,
        names: Iterable[str] = (),
        numbers: Iterable[str] = (),
        keep: Iterable[str] = (),
        usual: frozenset[str] = frozenset(),
    ) -> Particulars:
        """From names and words as they are written anywhere."""
        words = (word.strip(".,'’()").lower() for phrase in keep for word in phrase.split())
        return cls(tuple(filter(None, names)), tuple(filter(None, numbers)), frozenset(filter(None, words)), usual)


def found(kind: Kind, start: int, end: int, instead: str | None = None) -> Found:
    """A find with the plain words of its kind, unless others are given."""
    return Found(kind, start, end, INSTEAD[kind] if instead is None else instead)

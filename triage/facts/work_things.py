"""The things work is done to: parts and changes the pack knows, and batteries called by their volts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from triage.facts.trade import BATTERY_PARTS, CONTROLLER_PARTS, TYRE_PARTS, WHEEL_PARTS
from triage.language import Document, Mention
from triage.language.numbers import PLURALS, WORD_VALUES
from triage.language.stem import plural

_SPARE = frozenset("new used different another spare bigger larger second secondhand known better".split())
_KEPT = CONTROLLER_PARTS | {"motor", "engine"}  # a better one takes the place of the old
_FITTING = frozenset({"put", "fitted", "installed", "mounted"})
_VAGUE = frozenset({"meter", "charger"})  # "put a charger on it" is no work on a charger


@dataclass(frozen=True, slots=True)
class Object:
    """What was worked on, at tokens first..last (half open)."""

    name: str  # as a technician notes it: "batteries", "spark plug"
    key: str  # the pack's name of the part, or the noun itself
    first: int
    last: int
    added: bool = False  # a change, which the vehicle did not have
    spare: bool = False  # told to be another one: "a used controller"


def things_near(document: Document, low: int, high: int) -> list[Object]:
    """Parts and changes that start at tokens low..high, in order; the longest at each place."""
    found = sorted(
        (m for kind in ("modification", "part") for m in document.between(kind, low, high)),
        key=lambda m: (m.first, -m.last, m.entry.kind),
    )
    result: list[Object] = []
    for mention in found:
        if not result or mention.first >= result[-1].last:
            result.append(_object(document, mention))
    return sorted([*result, *_batteries_by_volts(document, low, high, result)], key=lambda thing: thing.first)


def _object(document: Document, mention: Mention) -> Object:
    spare = bool({document.norm(i) for i in range(mention.first - 3, mention.first)} & _SPARE)
    part = _part_in(document, mention)
    if mention.entry.kind == "modification" and part is None:
        return Object(mention.entry.key, mention.entry.key, mention.first, mention.last, added=True, spare=True)
    changed, mention = part is not None, part or mention
    key = "battery" if mention.entry.key in BATTERY_PARTS else mention.entry.key
    indefinite = document.norm(mention.first - 1) in ("a", "an") and mention.entry.key not in _VAGUE
    several = _is_plural(document.tokens[mention.last - 1].text.lower()) or mention.entry.key == "battery pack"
    name = plural(key) if several else key
    bare = document.norm(mention.first - 1) in _FITTING and several  # "put tyres of 22 inch"
    added = (changed and key not in _KEPT) or (bare and key in TYRE_PARTS | WHEEL_PARTS)
    return Object(name, key, mention.first, mention.last, added, spare or indefinite or changed or bare)


def _part_in(document: Document, change: Mention) -> Mention | None:
    """The part that a change names: the tyres of "bigger tyres"."""
    inside = document.between("part", change.first + 1, change.last - 1) if change.entry.kind == "modification" else ()
    return next((part for part in inside if part.last == change.last), None)


def _is_plural(word: str) -> bool:
    return word.endswith("s") and not word.endswith(("ss", "'s", "’s"))


def _batteries_by_volts(document: Document, low: int, high: int, named: Sequence[Object]) -> Iterator[Object]:
    """ "six new 8 volts", "new 12v": batteries called by their volts."""
    taken = {index for thing in named for index in range(thing.first - 1, thing.last)}
    for quantity in document.quantities_from(low, max(high - low, 0)):
        told = quantity.unit == "V" or document.norm(quantity.last - 1) in PLURALS  # "six sixes"
        small = told and quantity.value in (2, 4, 6, 8, 12)
        if (
            small
            and quantity.last not in taken
            and quantity.first not in taken
            and not _is_rating(document, quantity.last)
        ):
            several = _is_plural(document.norm(quantity.last - 1)) or _counted(document, quantity.first)
            name = "batteries" if several else "battery"
            yield Object(name, "battery", quantity.first, quantity.last, spare=_counted(document, quantity.first))


def _counted(document: Document, index: int) -> bool:
    words = [document.norm(i) for i in range(index - 3, index)]
    return any(word in WORD_VALUES or word.isdecimal() for word in words)


def _is_rating(document: Document, index: int) -> bool:
    return bool(document.between("part", index, index + 1))

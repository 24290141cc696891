"""The questions in groups that mean something: unseen, locked, tuned on; voices; kinds of vehicle."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import get_args

from eval.cases import Case
from eval.everything.gathered import Asked, Gathered
from eval.labels import Voice
from eval.vehicle_kinds import ELECTRIC, LISTED, PETROL, UNLISTED, UNNAMED, UNTOLD

UNSEEN_SHOP = "fifth"


@dataclass(frozen=True)
class Everything:
    """All questions of all shops, and the groups a reader wants to tell apart."""

    asked: tuple[Asked, ...]

    @classmethod
    def of(cls, gathered: Sequence[Gathered]) -> Everything:
        """The questions shop by shop, in file order."""
        return cls(tuple(item for shop in gathered for item in shop.asked))

    @property
    def unseen(self) -> list[Asked]:
        """A whole shop that nobody looked at."""
        return [item for item in self.asked if item.case.shop == UNSEEN_SHOP]

    @property
    def locked(self) -> list[Asked]:
        """Questions kept locked of shops whose other questions were tuned on."""
        return [a for a in self.asked if a.case.part == "locked" and a.case.shop != UNSEEN_SHOP]

    @property
    def tuned(self) -> list[Asked]:
        """Questions that were looked at while the program was made."""
        return [item for item in self.asked if item.case.part == "tuning"]

    @property
    def kept(self) -> list[Asked]:
        """All that were not tuned on."""
        return [item for item in self.asked if item.case.part == "locked"]

    @property
    def main(self) -> list[tuple[str, list[Asked]]]:
        """The three groups, the one that counts first; those that are there."""
        named = [("unseen shop", self.unseen), ("locked", self.locked), ("tuned on", self.tuned)]
        return [(name, group) for name, group in named if group]


def cases(group: Sequence[Asked]) -> list[Case]:
    """The cases of a group."""
    return [item.case for item in group]


def shop(name: str, everything: Everything) -> list[Asked]:
    """One shop's questions."""
    return [item for item in everything.asked if item.case.shop == name]


def by_voice(group: Sequence[Asked]) -> list[tuple[str, list[Asked]]]:
    """By how the asker writes."""
    return _by(group, get_args(Voice), lambda item: item.case.gold.voice)


def by_vehicle(group: Sequence[Asked]) -> list[tuple[str, list[Asked]]]:
    """By what drives the vehicle, then by whether the catalogue knows its name."""
    drives = _by(group, (ELECTRIC, PETROL, UNTOLD), lambda item: item.drive)
    return drives + _by(group, (LISTED, UNLISTED, UNNAMED), lambda item: item.name)


def _by(group: Sequence[Asked], names: Sequence[str], of: Callable[[Asked], str]) -> list[tuple[str, list[Asked]]]:
    found = [(name, [item for item in group if of(item) == name]) for name in names]
    return [(name, items) for name, items in found if items]

"""Names in a shop's own words, matched to records of the trade part; the unknown is kept as the shop's."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from rapidfuzz import fuzz, process

from triage.model import Signal
from triage.pack.problem import nearest
from triage.pack.schema import FactKind, Hazard
from triage.pack.slugs import slug

OWN_SOURCE = "from the shop's spreadsheet"
_CLOSE = 88.0  # of 100: one or two letters of a word off
_MOST = 0.5  # share of a name's words that known names must make up
_EMPTY = frozenset("a an and the of on in or to for with from at by is are it its that when you while".split())
_PLAIN_ID = re.compile(r"[^\W_][\w.-]{0,60}")


@dataclass
class Names:
    """All spellings under which records are known. One spelling may mean several records."""

    spellings: dict[str, list[str]] = field(default_factory=dict)

    def add(self, name: str, *others: str) -> None:
        """Make a record known under its id and its other names."""
        for spelling in (name, *others):
            ids = self.spellings.setdefault(_plain(spelling), [])
            if name not in ids:
                ids.append(name)

    def ids(self) -> set[str]:
        """Every id known, without case."""
        return {one.casefold() for ids in self.spellings.values() for one in ids}

    def exact(self, name: str) -> list[str]:
        """The ids of records with this name; empty when there is none."""
        return self.spellings.get(_plain(name), [])

    def close(self, name: str) -> list[str]:
        """The ids of records whose name is nearly this one: a slip of the pen."""
        found = process.extractOne(_plain(name), list(self.spellings), scorer=fuzz.ratio, score_cutoff=_CLOSE)
        return self.spellings[found[0]] if found else []

    def within(self, name: str) -> list[str]:
        """The id of the one record whose names make up most of this one ("wheel nuts wrong or loose"), or whose own
        name holds all of it; else empty."""
        words = _telling(name)
        found: dict[str, set[str]] = {}
        for spelling, ids in self.spellings.items():
            known = _telling(spelling)
            if known and (known <= words or (known >= words and len(words) > 1)):
                for one in ids:
                    found.setdefault(one, set()).update(known & words)
        most = max((len(made_up) for made_up in found.values()), default=0)
        best = [one for one, made_up in found.items() if len(made_up) == most]
        return best if len(best) == 1 and most >= _MOST * len(words) else []

    def near(self, name: str) -> list[str]:
        """Up to three ids to suggest, the most alike first."""
        found = nearest(_plain(name), self.spellings)
        return list(dict.fromkeys(one for spelling in found for one in self.spellings[spelling]))[:3]

    def split(self, parts: Iterable[str]) -> list[str]:
        """Cut a part at its commas where one of the pieces is known; a sentence with a comma stays whole."""
        result: list[str] = []
        for part in parts:
            pieces = [piece.strip() for piece in part.split(",") if piece.strip()]
            known = not self.exact(part) and any(self.exact(piece) for piece in pieces)
            result.extend(pieces if known else [part])
        return result


def _plain(name: str) -> str:
    return " ".join(re.findall(r"\w+", name.casefold().replace("_", " ")))


def _telling(name: str) -> frozenset[str]:
    """Words that tell something, without a plural's s."""
    return frozenset(word.removesuffix("s") for word in _plain(name).split()) - _EMPTY


def own_id(name: str) -> str:
    """The id for a record of the shop's own: its name where that can be one, else its words joined by _."""
    if _PLAIN_ID.fullmatch(name):
        return name
    return slug(name, "_") or "_".join(re.findall(r"[^\W_]+", name.casefold()))[:60] or "own"


def own_hazard(name: str) -> Hazard:
    """A cautious record for a danger the trade part does not know."""
    words = name.replace("_", " ").strip().rstrip(".")
    care = "Stop and ask a qualified technician if you are not sure how to do this safely."
    said = f"Take care: {words}."
    return Hazard(own_id(name), words, Signal.WARNING, f"{said} {care}", said, source=OWN_SOURCE)


def own_fact(name: str) -> FactKind:
    """A record for a fact the trade part does not know: asked for in the shop's own word."""
    words = name.replace("_", " ").strip().rstrip("?.")
    return FactKind(own_id(name), words, "text", ask=f"Could you tell us this: {words}?", source=OWN_SOURCE)

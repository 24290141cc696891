"""Serial numbers: those the catalogue has a pattern for, and those told as such."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from triage.facts.candidate import Candidate
from triage.language import Document
from triage.pack import Pack
from triage.pack.schema import Vehicle

_SHAPE = re.compile(r"(?<![\w-])(?=[A-Za-z-]{0,6}\d)[A-Za-z0-9][A-Za-z0-9-]{4,19}(?![\w-])")
_TOLD = re.compile(r"(?i)\b(?:serial|s/n|vin)(?: ?(?:number|no|num|nr|#))?\.?(?: is| says| reads)?[ :#]{1,3}$")


@dataclass(frozen=True, slots=True)
class SerialPattern:
    """The serial numbers of one catalogue entry."""

    vehicle: Vehicle
    pattern: re.Pattern[str]

    def year_of(self, serial: str) -> int | None:
        """The year of making, where the pattern's first group holds its last two digits; None when it does not."""
        match = self.pattern.fullmatch(serial)
        text = match[1] if match and match.re.groups else ""
        if not text or not text.isdecimal() or len(text) != 2:
            return None
        low, high = self.vehicle.year_from or 1950, self.vehicle.year_to or 2100
        return next((year for year in (1900 + int(text), 2000 + int(text)) if low <= year <= high), None)


def patterns_of(pack: Pack) -> tuple[SerialPattern, ...]:
    """The patterns of the catalogue; a serial number is written in capitals."""
    listed = (vehicle for vehicle in pack.vehicles if vehicle.serial_pattern)
    return tuple(SerialPattern(vehicle, re.compile(vehicle.serial_pattern)) for vehicle in listed)


def fitting(serial: str, patterns: Sequence[SerialPattern]) -> list[SerialPattern]:
    """Patterns of which this is a serial number."""
    return [pattern for pattern in patterns if pattern.pattern.fullmatch(serial)]


def find(document: Document, patterns: Sequence[SerialPattern]) -> Iterator[Candidate]:
    """Candidates named "serial", in capitals."""
    for match in _SHAPE.finditer(document.text):
        serial = match[0].upper()
        told = _TOLD.search(document.text, max(0, match.start() - 30), match.start())
        if not told and not fitting(serial, patterns):
            continue
        first, last = document.token_range(match.start(), match.end())
        if last > first:
            yield Candidate("serial", serial, first, last, basis=f"words: '{match[0]}'")

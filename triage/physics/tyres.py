"""Tyre codes in both notations, 18x8.50-8 and 205/50-10, to dimensions."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import pi

from triage.physics.limits import OutOfRange, UnreadableCode, within
from triage.physics.units import INCHES_PER_MILE, MM_PER_INCH

_NUMBER = r"(\d+(?:\.\d+)?)"
_TAIL = r"(?:\s*(?:NHS|\d+\s*(?:ply|PR)))*"
_INCH_CODE = re.compile(rf"{_NUMBER}\s*[x×*]\s*{_NUMBER}\s*[-–x×/R]\s*{_NUMBER}{_TAIL}", re.IGNORECASE)
_METRIC_CODE = re.compile(rf"(?:P|ST)?{_NUMBER}\s*/\s*{_NUMBER}\s*[-–/R]\s*{_NUMBER}{_TAIL}", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Tyre:
    """Nominal dimensions in inches; a tyre as built may differ by 3 %."""

    diameter_in: float  # overall, free
    width_in: float  # of the section, not of the tread
    rim_in: float

    @property
    def sidewall_in(self) -> float:
        """Height of the sidewall in inches: (diameter - rim) / 2."""
        return (self.diameter_in - self.rim_in) / 2


def parse_tyre(code: str) -> Tyre:
    """Nominal dimensions from a tyre code.

    Formula: 18x8.50-8 is diameter x width - rim in inches; 205/50-10 is width in mm / sidewall in % of it -
        rim in inches, so diameter = rim + 2 x 205 x 0.50 / 25.4
    Units: code in, inches out.
    Valid: diameter 12 to 33 in, width 4 to 16 in, rim 4 to 20 in, a sidewall of at least 1 in. No code read:
        UnreadableCode.
    Source: "Sidewall size/height" article; "How do you explain a golf cart tire size?".

    >>> parse_tyre("18x8.50-8").sidewall_in
    5.0
    >>> round(parse_tyre("205/50-10").diameter_in, 2)
    18.07
    """
    if match := _INCH_CODE.fullmatch(code.strip()):
        return _plausible(Tyre(*map(float, match.groups())))
    if match := _METRIC_CODE.fullmatch(code.strip()):
        return _plausible(_metric(*map(float, match.groups())))
    raise UnreadableCode(f"'{code}' is not a tyre code; write it as on the sidewall, 18x8.50-8 or 205/50-10.")


def _metric(width_mm: float, aspect_pct: float, rim_in: float) -> Tyre:
    within("sidewall", aspect_pct, 20, 100, "% of the width")
    return Tyre(rim_in + 2 * width_mm * aspect_pct / 100 / MM_PER_INCH, width_mm / MM_PER_INCH, rim_in)


def _plausible(tyre: Tyre) -> Tyre:
    within("tyre diameter", tyre.diameter_in, 12, 33, "in")
    within("tyre width", tyre.width_in, 4, 16, "in")
    within("rim", tyre.rim_in, 4, 20, "in")
    if tyre.sidewall_in < 1:
        raise OutOfRange("rim", tyre.rim_in, f"at most {tyre.diameter_in - 2:g} in for this diameter")
    return tyre


def roll_out_in(diameter_in: float) -> float:
    """Distance rolled in one turn.

    Formula: pi x D
    Units: inches in, inches out.
    Valid: 8 to 40 in; measured under load it is shorter (see drivetrain.rolling_diameter_in).
    Source: geometry.
    """
    return pi * within("tyre diameter", diameter_in, 8, 40, "in")


def turns_per_mile(diameter_in: float) -> float:
    """Turns of a wheel in a mile.

    Formula: 63360 / (pi x D)
    Units: inches in, turns out.
    Valid: 8 to 40 in.
    Source: geometry.
    """
    return INCHES_PER_MILE / roll_out_in(diameter_in)

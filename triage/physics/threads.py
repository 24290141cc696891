"""Wheel studs and nuts: metric and unified 60 degree threads, how they mix, and how far they engage."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from triage.physics.limits import OutOfRange, UnreadableCode, within
from triage.physics.units import MM_PER_INCH

_METRIC = re.compile(r"M\s*(\d+(?:\.\d+)?)\s*[x×-]\s*(\d+(?:\.\d+)?)", re.IGNORECASE)
_UNIFIED = re.compile(r"(\d+)/(\d+)\s*(?:in|\")?\s*[-x×]\s*(\d+)(?:\s*UN[FC]?)?", re.IGNORECASE)
_SAME_MM = 0.005


class Fit(StrEnum):
    """How a nut goes on a stud, at nominal sizes."""

    MATCH = "same thread"
    LOOSE = "goes on and hangs by part of the thread: not safe, though it can feel tight"
    JAMS = "the nut is too small: it jams or cross-threads"
    CROSSES = "same diameter, other pitch: it binds within a few turns"


@dataclass(frozen=True, slots=True)
class Thread:
    """A 60 degree thread at nominal size; all in mm."""

    major_mm: float
    pitch_mm: float

    @property
    def pitch_diameter_mm(self) -> float:
        """Pitch diameter in mm: D - 0.6495 P (ISO 68-1 profile, the unified one is the same)."""
        return self.major_mm - 0.6495190528 * self.pitch_mm

    @property
    def nut_minor_mm(self) -> float:
        """Minor diameter of the nut in mm: D - 1.0825 P."""
        return self.major_mm - 1.0825317547 * self.pitch_mm

    @property
    def screw_minor_mm(self) -> float:
        """Minor diameter of the screw in mm: D - 1.2269 P."""
        return self.major_mm - 1.2268693220 * self.pitch_mm

    @property
    def per_inch(self) -> float:
        """Threads per inch: 25.4 / P."""
        return MM_PER_INCH / self.pitch_mm


def parse_thread(code: str) -> Thread:
    """Thread from its code, metric or unified.

    Formula: M12x1.25 is diameter x pitch in mm; 1/2-20 is diameter in inches - threads per inch
    Units: code in, mm out.
    Valid: 5 to 25 mm across, 4 to 20 pitches to the diameter. A metric code without its pitch says too
        little. No code read: UnreadableCode.
    Source: "UNIFIED Fine Thread Nominal Dimensions According to ANSI B1.1"; "ISO Metric Thread Nominal
        Dimensions".

    >>> parse_thread("1/2-20").pitch_mm
    1.27
    """
    text = code.strip()
    if match := _METRIC.fullmatch(text):
        return _plausible(float(match[1]), float(match[2]))
    if (match := _UNIFIED.fullmatch(text)) and int(match[2]) and int(match[3]):
        return _plausible(MM_PER_INCH * int(match[1]) / int(match[2]), MM_PER_INCH / int(match[3]))
    raise UnreadableCode(f"'{code}' is not a thread code; write M12x1.25 or 1/2-20.")


def _plausible(major_mm: float, pitch_mm: float) -> Thread:
    within("thread diameter", major_mm, 5, 25, "mm")
    within("pitch", pitch_mm, major_mm / 20, major_mm / 4, "mm")
    return Thread(major_mm, pitch_mm)


def flank_overlap_mm(stud: Thread, nut: Thread) -> float:
    """How deep nut and stud overlap on each side, at nominal sizes.

    Formula: (smaller of the two majors - nut minor) / 2, not below 0
    Units: mm out.
    Valid: any two threads; tolerances left out.
    Source: geometry of the ISO 68-1 profile.
    """
    return max(0.0, (min(stud.major_mm, nut.major_mm) - nut.nut_minor_mm) / 2)


def overlap_fraction(stud: Thread, nut: Thread) -> float:
    """Overlap of nut and stud as a fraction of the nut's own full depth of thread.

    Formula: overlap / ((nut major - nut minor) / 2)
    Units: none.
    Valid: any two threads; tolerances left out.
    Source: geometry of the ISO 68-1 profile.

    >>> round(overlap_fraction(parse_thread("M12x1.25"), parse_thread("1/2-20")), 2)
    0.49
    """
    return flank_overlap_mm(stud, nut) / flank_overlap_mm(nut, nut)


def pitch_error_mm(stud: Thread, nut: Thread, turns: float) -> float:
    """How far the threads are out of step after some turns.

    Formula: |difference of the pitches| x turns
    Units: turns in, mm out.
    Valid: 0 to 40 turns.
    Source: geometry.
    """
    return abs(stud.pitch_mm - nut.pitch_mm) * within("turns", turns, 0, 40)


def fit(stud: Thread, nut: Thread) -> Fit:
    """How a nut goes on a stud, at nominal sizes.

    Formula: nut major below the stud's jams, above it is loose; equal with another pitch crosses
    Units: none.
    Valid: any two threads; equal means within 0.005 mm. Starting by hand proves nothing.
    Source: geometry; that a loose nut strips is common practice, no source.

    >>> fit(stud=parse_thread("M12x1.25"), nut=parse_thread("1/2-20")).name
    'LOOSE'
    """
    difference = nut.major_mm - stud.major_mm
    if abs(difference) > _SAME_MM:
        return Fit.LOOSE if difference > 0 else Fit.JAMS
    return Fit.MATCH if abs(nut.pitch_mm - stud.pitch_mm) <= _SAME_MM else Fit.CROSSES


def engagement_turns(thread: Thread, length_mm: float | None = None) -> float:
    """Turns of engagement in a length, by default one diameter, which is full engagement.

    Formula: length / pitch
    Units: mm in, turns out.
    Valid: 0 to 60 mm. Fewer than about 6 turns: wrong nut or stud.
    Source: common practice, no source; the turns are arithmetic.

    >>> round(engagement_turns(parse_thread("1/2-20")), 1), engagement_turns(parse_thread("M12x1.25"))
    (10.0, 9.6)
    """
    length = thread.major_mm if length_mm is None else length_mm
    return within("length", length, 0, 60, "mm") / thread.pitch_mm


def stud_by_crest(crest_mm: float) -> str:
    """Nominal size of a wheel stud from a calliper across the crests; the pitch must be gauged as well.

    Formula: 11.7 to 12.0 mm is M12; 12.5 to 12.7 mm is 1/2 in
    Units: mm in.
    Valid: those two bands only.
    Source: from memory.
    """
    for low, high, name in ((11.7, 12.0, "M12"), (12.5, 12.7, "1/2 in")):
        if low <= crest_mm <= high:
            return name
    raise OutOfRange("stud across the crests", crest_mm, "11.7 to 12.0 mm (M12) or 12.5 to 12.7 mm (1/2 in)")

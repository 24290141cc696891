"""Worksheets for wheel studs and nuts, and for speed classes."""

from __future__ import annotations

from triage.physics import rules as r
from triage.physics import threads as t
from triage.physics.sheets.record import Input, Outcome, Worksheet


def _mix(stud: str, nut: str) -> tuple[Outcome, ...]:
    outer, inner = t.parse_thread(stud), t.parse_thread(nut)
    verdict = Outcome("verdict", t.fit(outer, inner))
    if verdict.value == t.Fit.JAMS:  # an overlap of threads that never meet would only mislead
        return (verdict,)
    return (
        verdict,
        Outcome("overlap on each side", t.flank_overlap_mm(outer, inner), "mm"),
        Outcome("part of the nut's own depth", 100 * t.overlap_fraction(outer, inner), "%"),
        Outcome("out of step after 8 turns", t.pitch_error_mm(outer, inner, 8), "mm"),
    )


def _engagement(thread: str, length: float) -> tuple[Outcome, ...]:
    cut = t.parse_thread(thread)
    return (
        Outcome("turns in this length", t.engagement_turns(cut, length)),
        Outcome("turns of full engagement", t.engagement_turns(cut)),
        Outcome("pitch diameter", cut.pitch_diameter_mm, "mm"),
        Outcome("threads per inch", cut.per_inch),
    )


def _speed_class(speed: float) -> tuple[Outcome, ...]:
    return (Outcome("class by speed", r.speed_band(speed)),)


_MANUAL = "Wheel nuts hold lives: thread, seat and torque by the vehicle's manual. When in doubt, do not drive."

SHEETS = (
    Worksheet(
        "thread-mix",
        "How a nut of one thread goes on a stud of another",
        (
            Input("stud", "thread of the stud", kind="text"),
            Input("nut", "thread of the nut", kind="text"),
        ),
        _mix,
        (t.fit, t.flank_overlap_mm, t.overlap_fraction, t.pitch_error_mm),
        _MANUAL,
    ),
    Worksheet(
        "thread-engagement",
        "Turns of thread in a length",
        (
            Input("thread", "thread", kind="text"),
            Input("length", "length of engagement", "mm", low=0, high=60),
        ),
        _engagement,
        (t.engagement_turns, t.parse_thread),
        f"Fewer than about 6 turns: wrong nut or stud. {_MANUAL}",
    ),
    Worksheet(
        "speed-class",
        "Class that a top speed falls in",
        (Input("speed", "top speed on the level", "mph", low=0, high=100),),
        _speed_class,
        (r.speed_band,),
        "Speed alone makes no vehicle street legal: equipment, registration and local law decide.",
    ),
)

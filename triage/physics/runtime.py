"""Runtime of a lead-acid pack: Peukert's rule in the form that fits a rated capacity, and range from it."""

from __future__ import annotations

from math import log

from triage.physics.limits import OutOfRange, above, within

DEFAULT_EXPONENT = 1.2
EXPONENT_BAND = (1.1, 1.3)  # "Peukert's Law", electronics notes; pages differ


def peukert_hours(capacity_ah: float, rate_h: float, exponent: float, current_a: float) -> float:
    """Hours to flat at a steady current.

    Formula: t = H x (C / (I H))^k, C being the capacity at the H-hour rate. The bare C / I^k is another
        thing: it holds only for the capacity at 1 A, and is not offered.
    Units: Ah, hours and A in, hours out.
    Valid: k 1.0 to 2.0, rates of 1 to 100 h, currents from a fifth of the rated one to 3 C. Below the rated
        current the result is hopeful.
    Source: "An in depth analysis of the maths behind Peukert's Equation"; bounds common practice, no source.

    >>> round(60 * peukert_hours(225, 20, 1.2, 75), 1)
    123.2
    """
    rated_a = above("capacity", capacity_ah, 0, "Ah") / within("hour rate", rate_h, 1, 100, "h")
    within("exponent", exponent, 1.0, 2.0)
    within("current", current_a, rated_a / 5, 3 * capacity_ah, "A")
    return float(rate_h * (rated_a / current_a) ** exponent)


def delivered_ah(capacity_ah: float, rate_h: float, exponent: float, current_a: float) -> float:
    """Ah a pack gives before flat at a steady current.

    Formula: I x t
    Units: Ah, hours and A in, Ah out.
    Valid: as peukert_hours.
    Source: "An in depth analysis of the maths behind Peukert's Equation".

    >>> round(delivered_ah(225, 20, 1.2, 75))
    154
    """
    return current_a * peukert_hours(capacity_ah, rate_h, exponent, current_a)


def peukert_exponent(current_1_a: float, hours_1: float, current_2_a: float, hours_2: float) -> float:
    """Exponent k from two discharges of the same pack.

    Formula: k = ln(t1 / t2) / ln(I2 / I1)
    Units: A and hours in, no unit out.
    Valid: two different currents, the larger with the shorter time; k of 1.0 to 2.0.
    Source: "An in depth analysis of the maths behind Peukert's Equation"; algebra.

    >>> round(peukert_exponent(11.25, 20, 75, 115 / 60), 3)
    1.236
    """
    for name, value in (("first", current_1_a), ("second", current_2_a)):
        above(f"{name} current", value, 0, "A")
    if current_1_a == current_2_a:
        raise OutOfRange("second current", current_2_a, f"another current than the first, {current_1_a} A")
    ratio = above("first time", hours_1, 0, "h") / above("second time", hours_2, 0, "h")
    return within("exponent of these two points", log(ratio) / log(current_2_a / current_1_a), 1.0, 2.0)


def usable_ah(capacity_ah: float, depth: float = 0.5) -> float:
    """Ah to plan with at a depth of discharge.

    Formula: C x depth
    Units: Ah in, Ah out; 0.5 is 50 %.
    Valid: depths of 0.05 to 0.80; past 80 % shortens the life of the set.
    Source: retailer knowledge base, maker FAQ (80 %); 50 % is common practice, no source.

    >>> usable_ah(225), usable_ah(225, 0.8)
    (112.5, 180.0)
    """
    return above("capacity", capacity_ah, 0, "Ah") * within("depth of discharge", depth, 0.05, 0.8)


def range_miles(hours_to_flat: float, speed_mph: float, depth: float = 0.5) -> float:
    """Distance on the planned part of a charge at a steady speed.

    Formula: hours to flat x depth x speed
    Units: hours and mph in, miles out.
    Valid: depths of 0.05 to 0.80, level ground at the current the hours were worked out for.
    Source: arithmetic; 50 % is common practice, no source.

    >>> round(range_miles(2.053, 12), 1)
    12.3
    """
    within("depth of discharge", depth, 0.05, 0.8)
    return above("hours to flat", hours_to_flat, 0, "h") * depth * within("speed", speed_mph, 0, 40, "mph")

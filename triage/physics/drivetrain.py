"""Speed from motor, gear and tyre; what a change of them or of voltage does; force and power on a grade."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, cos, pi, sin, sqrt

from triage.physics.limits import above, one_of, within
from triage.physics.units import INCHES_PER_MILE, METRES_PER_SECOND_PER_MPH, MM_PER_INCH, STANDARD_GRAVITY


@dataclass(frozen=True, slots=True)
class Effect:
    """What a change does, each as new over old (1 = no change)."""

    speed: float  # on the level at most, if the motor turns as freely as before
    thrust: float  # at the wheel for the same motor torque
    motor_torque: float  # for the same hill and load
    motor_current: float  # for the same hill and load
    pack_current_new_speed: float  # for the same hill and load, where the new speed is held
    pack_current_old_speed: float  # for the same hill and load, driven no faster than before


def speed_mph(motor_rpm: float, gear_ratio: float, tyre_in: float) -> float:
    """Road speed of a motor geared down to a wheel.

    Formula: rpm x D / (336.135 x ratio); the ratio divides (336.135 is 63360 / 60 pi)
    Units: rpm, turns of the motor per turn of the wheel, and inches (rolling diameter) in, mph out.
    Valid: 0 to 12 000 rpm, ratio 1 to 40, tyre 8 to 40 in, no slip.
    Source: "Some Equations That May Help"; "MPH Formula Using RPM And Gear Ratio".

    >>> round(speed_mph(3000, 12.44, 18), 2)
    12.91
    """
    within("motor speed", motor_rpm, 0, 12000, "rpm")
    return motor_rpm * _miles_per_turn(gear_ratio, tyre_in) * 60


def motor_rpm(speed_mph: float, gear_ratio: float, tyre_in: float) -> float:
    """Motor speed at a road speed; the inverse of speed_mph.

    Formula: mph x 336.135 x ratio / D
    Units: mph, ratio and inches in, rpm out.
    Valid: 0 to 60 mph, ratio 1 to 40, tyre 8 to 40 in.
    Source: "Some Equations That May Help".
    """
    within("speed", speed_mph, 0, 60, "mph")
    return speed_mph / (_miles_per_turn(gear_ratio, tyre_in) * 60)


def _miles_per_turn(gear_ratio: float, tyre_in: float) -> float:
    within("gear ratio", gear_ratio, 1, 40)
    return pi * within("tyre diameter", tyre_in, 8, 40, "in") / INCHES_PER_MILE / gear_ratio


def rolling_diameter_in(free_in: float, factor: float = 0.97) -> float:
    """Diameter that a loaded tyre rolls on; a measured roll-out is better.

    Formula: free diameter x 0.96 to 0.98
    Units: inches in, inches out.
    Valid: factors of 0.94 to 1.00.
    Source: common practice, no source.

    >>> round(rolling_diameter_in(18.0), 1)
    17.5
    """
    return above("tyre diameter", free_in, 0, "in") * within("factor", factor, 0.94, 1.0)


def change(*, tyre: float = 1.0, gear: float = 1.0, voltage: float = 1.0, motor: str = "separately excited") -> Effect:
    """What a change of tyre diameter, gear ratio or pack voltage does, each given as new over old.

    Formula: speed = tyre / gear x voltage; thrust = gear / tyre; motor torque = tyre / gear; motor current =
        torque for a steady field, root of torque for a series motor; pack current = speed / voltage, at the
        old speed 1 / voltage
    Units: ratios in, ratios out.
    Valid: ratios of 0.4 to 2.5. Speed is an upper figure: a governor, a field map or load holds it lower, and
        a series motor slows as its load grows. Near saturation a series motor draws more than the root. An
        ac motor follows its controller's limit and is not covered.
    Source: exact for tyre and gear; voltage as a forum post prints for 36, 42 and 48 V (5600, 6532 and 7465
        rpm); the motor currents are textbook proportions from memory.

    >>> effect = change(tyre=22 / 18)
    >>> round(effect.speed, 3), round(effect.thrust, 3), round(effect.motor_torque, 3)
    (1.222, 0.818, 1.222)
    """
    one_of("motor", motor, ("series", "separately excited"), "others follow their controller")
    for name, ratio in (("tyre", tyre), ("gear", gear), ("voltage", voltage)):
        within(f"{name} ratio", ratio, 0.4, 2.5)
    torque = tyre / gear
    current = sqrt(torque) if motor == "series" else torque
    speed = torque * voltage
    return Effect(speed, 1 / torque, torque, current, speed / voltage, 1 / voltage)


def grade_force_n(mass_kg: float, grade_pct: float, rolling: float = 0.015) -> float:
    """Force along the road that holds a steady slow speed on a grade.

    Formula: m g (sin a + rolling x cos a), a = atan(grade / 100)
    Units: kg and % (rise over run) in, N out.
    Valid: more than 0 kg, -40 to 40 %, rolling 0.005 to 0.15 (pavement 0.01 to 0.02, turf 0.03 to 0.10);
        air and acceleration left out. Negative: the vehicle must be held back.
    Source: mechanics; rolling coefficients from memory.

    >>> round(grade_force_n(500, 10))
    561
    """
    angle = atan(within("grade", grade_pct, -40, 40, "%") / 100)
    within("rolling coefficient", rolling, 0.005, 0.15)
    weight = above("mass", mass_kg, 0, "kg") * STANDARD_GRAVITY
    return weight * (sin(angle) + rolling * cos(angle))


def road_power_w(force_n: float, speed_mph: float) -> float:
    """Power at the wheels.

    Formula: F x v
    Units: N and mph in, W out.
    Valid: 0 to 60 mph.
    Source: mechanics.
    """
    return force_n * within("speed", speed_mph, 0, 60, "mph") * METRES_PER_SECOND_PER_MPH


def pack_current_a(power_w: float, pack_v: float, efficiency: float = 0.75) -> float:
    """Current from the pack for a power at the wheels.

    Formula: P / (efficiency x V)
    Units: W and V in, A out.
    Valid: 0 W or more (no regeneration), 6 to 120 V, efficiency 0.3 to 1.0 of controller, motor and axle.
    Source: definition; the efficiency is common practice, no source.

    >>> round(pack_current_a(2508, 48), 1)
    69.7
    """
    within("power", power_w, 0, 1e5, "W")
    within("pack voltage", pack_v, 6, 120, "V")
    return power_w / within("efficiency", efficiency, 0.3, 1.0) / pack_v


def motor_current_a(pack_current_a: float, duty: float = 1.0) -> float:
    """Current in a dc motor behind a chopping controller: more than the pack gives when not at full pedal.

    Formula: pack current / duty
    Units: A in, A out; duty 1.0 is full on.
    Valid: duty 0.05 to 1.0, lossless chopper, dc motors.
    Source: from memory.

    >>> motor_current_a(100, 0.5)
    200.0
    """
    return within("pack current", pack_current_a, 0, 2000, "A") / within("duty", duty, 0.05, 1.0)


def axle_torque_nm(force_n: float, tyre_in: float) -> float:
    """Torque of the driven axle for a force at the road.

    Formula: F x D / 2
    Units: N and inches in, N m out.
    Valid: tyre 8 to 40 in.
    Source: mechanics.

    >>> round(axle_torque_nm(561.1, 18), 1)
    128.3
    """
    return force_n * within("tyre diameter", tyre_in, 8, 40, "in") * MM_PER_INCH / 2000


def motor_torque_nm(axle_torque_nm: float, gear_ratio: float, efficiency: float = 0.9) -> float:
    """Torque of the motor behind a gear.

    Formula: axle torque / (ratio x efficiency)
    Units: N m in, N m out.
    Valid: 0 N m or more, ratio 1 to 40, efficiency 0.5 to 1.0 of the gears alone.
    Source: mechanics; the efficiency is common practice, no source.
    """
    within("axle torque", axle_torque_nm, 0, 1e4, "N m")
    within("gear ratio", gear_ratio, 1, 40)
    return axle_torque_nm / (gear_ratio * within("gear efficiency", efficiency, 0.5, 1.0))

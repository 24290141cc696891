"""Worksheets for driving: runtime and range, speed, the effect of a change, grades, tyres."""

from __future__ import annotations

from triage.physics import drivetrain as d
from triage.physics import runtime as r
from triage.physics import tyres as t
from triage.physics.sheets.record import Curve, Input, Outcome, Worksheet, curve, steps

_CAPACITY = Input("capacity", "rated capacity", "Ah", low=1, high=2000)
_RATE = Input("rate", "hour rate of that capacity", "h", default=20.0, low=1, high=100)
_EXPONENT = Input("exponent", "Peukert exponent", default=r.DEFAULT_EXPONENT, low=1.0, high=2.0)
_CURRENT = Input("current", "steady current", "A", low=0.1, high=1000)
_DEPTH = Input("depth", "part of the charge to plan with (0.5 is half)", default=0.5, low=0.05, high=0.8)
_GEAR = Input("gear", "motor turns to one wheel turn", low=1, high=40)
_TYRE = Input("tyre", "tyre diameter as it rolls", "in", low=8, high=40)
_MORE_SPEED = "More speed lengthens stopping, and the brakes are no better for it; it can change the rules that apply."


def _runtime(capacity: float, rate: float, exponent: float, current: float) -> tuple[Outcome, ...]:
    low, high = r.EXPONENT_BAND
    return (
        Outcome("to flat", r.peukert_hours(capacity, rate, exponent, current), "h"),
        Outcome("delivered", r.delivered_ah(capacity, rate, exponent, current), "Ah"),
        Outcome(f"to flat if the exponent is {low}", r.peukert_hours(capacity, rate, low, current), "h"),
        Outcome(f"to flat if the exponent is {high}", r.peukert_hours(capacity, rate, high, current), "h"),
    )


def _runtime_curve(capacity: float, rate: float, exponent: float, current: float) -> Curve:
    amps = steps(capacity / rate, capacity)
    return curve("steady current, A", "time to flat, h", amps, lambda x: r.peukert_hours(capacity, rate, exponent, x))


def _exponent(current1: float, hours1: float, current2: float, hours2: float) -> tuple[Outcome, ...]:
    return (Outcome("exponent", r.peukert_exponent(current1, hours1, current2, hours2)),)


def _range(
    capacity: float, rate: float, exponent: float, current: float, speed: float, depth: float
) -> tuple[Outcome, ...]:
    hours = r.peukert_hours(capacity, rate, exponent, current)
    return (
        Outcome("range", r.range_miles(hours, speed, depth), "mile"),
        Outcome("driving time", hours * depth, "h"),
    )


def _speed(rpm: float, gear: float, tyre: float) -> tuple[Outcome, ...]:
    return (Outcome("speed", d.speed_mph(rpm, gear, tyre), "mph"),)


def _speed_curve(rpm: float, gear: float, tyre: float) -> Curve:
    return curve("tyre diameter, in", "speed, mph", steps(14, 26, 13), lambda x: d.speed_mph(rpm, gear, x))


def _change(
    tyre_old: float,
    tyre_new: float,
    gear_old: float,
    gear_new: float,
    volts_old: float,
    volts_new: float,
    motor: str,
) -> tuple[Outcome, ...]:
    effect = d.change(tyre=tyre_new / tyre_old, gear=gear_new / gear_old, voltage=volts_new / volts_old, motor=motor)
    return (
        _percent("speed, at most", effect.speed),
        _percent("thrust for the same motor torque", effect.thrust),
        _percent("motor torque for the same hill", effect.motor_torque),
        _percent("motor current for the same hill", effect.motor_current),
        _percent("pack current for the same hill, no faster", effect.pack_current_old_speed),
        _percent("pack current for the same hill at the new speed", effect.pack_current_new_speed),
    )


def _percent(label: str, ratio: float) -> Outcome:
    return Outcome(label, (ratio - 1) * 100, "%")


def _grade(
    mass: float, grade: float, speed: float, pack: float, rolling: float, efficiency: float
) -> tuple[Outcome, ...]:
    force = d.grade_force_n(mass, grade, rolling)
    power = d.road_power_w(force, speed)
    return (
        Outcome("force at the road", force, "N"),
        Outcome("power at the wheels", power, "W"),
        Outcome("pack current", d.pack_current_a(power, pack, efficiency), "A"),
    )


def _grade_curve(mass: float, grade: float, speed: float, pack: float, rolling: float, efficiency: float) -> Curve:
    def amps(slope: float) -> float:
        power = d.road_power_w(d.grade_force_n(mass, slope, rolling), speed)
        return d.pack_current_a(power, pack, efficiency)

    return curve("grade, %", "pack current, A", steps(0, 20, 21), amps)


def _tyre(code: str) -> tuple[Outcome, ...]:
    tyre = t.parse_tyre(code)
    return (
        Outcome("diameter", tyre.diameter_in, "in"),
        Outcome("section width", tyre.width_in, "in"),
        Outcome("rim", tyre.rim_in, "in"),
        Outcome("sidewall", tyre.sidewall_in, "in"),
        Outcome("one turn rolls", t.roll_out_in(tyre.diameter_in), "in"),
    )


_POINTS = tuple(
    item
    for index, which in (("1", "first"), ("2", "second"))
    for item in (
        Input(f"current{index}", f"{which} current", "A", low=0.1, high=1000),
        Input(f"hours{index}", f"{which} time", "h", low=0.01, high=200),
    )
)
_PAIRS = (
    Input("tyre_old", "tyre diameter now", "in", default=18.0, low=8, high=40),
    Input("tyre_new", "tyre diameter then", "in", default=18.0, low=8, high=40),
    Input("gear_old", "gear ratio now", default=12.0, low=1, high=40),
    Input("gear_new", "gear ratio then", default=12.0, low=1, high=40),
    Input("volts_old", "pack voltage now", "V", default=48.0, low=6, high=120),
    Input("volts_new", "pack voltage then", "V", default=48.0, low=6, high=120),
    Input("motor", "motor", default="separately excited", choices=("separately excited", "series")),
)

SHEETS = (
    Worksheet(
        "runtime",
        "Time to flat at a steady current",
        (_CAPACITY, _RATE, _EXPONENT, _CURRENT),
        _runtime,
        (r.peukert_hours, r.delivered_ah),
        "For a healthy, full, warm lead-acid pack; age and cold take from it.",
        _runtime_curve,
    ),
    Worksheet(
        "peukert-exponent",
        "Peukert exponent from two discharges",
        _POINTS,
        _exponent,
        (r.peukert_exponent,),
    ),
    Worksheet(
        "range",
        "Range at a steady speed and current",
        (_CAPACITY, _RATE, _EXPONENT, _CURRENT, Input("speed", "speed", "mph", low=1, high=40), _DEPTH),
        _range,
        (r.peukert_hours, r.range_miles),
        "Level ground only; hills, cold and age take from it.",
    ),
    Worksheet(
        "speed",
        "Speed from motor, gear and tyre",
        (Input("rpm", "motor speed", "rpm", low=0, high=12000), _GEAR, _TYRE),
        _speed,
        (d.speed_mph,),
        _MORE_SPEED,
        _speed_curve,
    ),
    Worksheet(
        "change",
        "What another tyre, gear or voltage does",
        _PAIRS,
        _change,
        (d.change,),
        f"{_MORE_SPEED} Every part rated for the old voltage must suit the new one.",
    ),
    Worksheet(
        "grade",
        "Force, power and pack current on a grade",
        (
            Input("mass", "mass with load", "kg", low=50, high=5000),
            Input("grade", "grade (rise over run)", "%", low=0, high=40),
            Input("speed", "speed", "mph", low=0, high=40),
            Input("pack", "pack voltage", "V", low=6, high=120),
            Input("rolling", "rolling coefficient", default=0.015, low=0.005, high=0.15),
            Input("efficiency", "efficiency of the drive", default=0.75, low=0.3, high=1.0),
        ),
        _grade,
        (d.grade_force_n, d.road_power_w, d.pack_current_a),
        "Says what the drive must give, not what grade is safe.",
        _grade_curve,
    ),
    Worksheet(
        "tyre",
        "Dimensions from a tyre code",
        (Input("code", "code on the sidewall", kind="text"),),
        _tyre,
        (t.parse_tyre, t.roll_out_in),
        "Nominal: a tyre as built may differ by 3 %. Measure before fitting.",
    ),
)

"""Worksheets for controls: solenoid coil, precharge resistor, throttle sender."""

from __future__ import annotations

from math import exp, inf

from triage.physics import controls as c
from triage.physics.sheets.record import Curve, Input, Outcome, Worksheet, curve, steps

_CAPACITANCE = Input("capacitance", "capacitance of the controller", "uF", default=10000.0, low=100, high=1e6)
_RESISTOR = Input("resistor", "precharge resistor", "ohm", low=10, high=10000)
_PACK = Input("pack", "pack voltage", "V", low=6, high=120)


def _coil(volts: str, ohms: float) -> tuple[Outcome, ...]:
    verdict = Outcome("verdict", c.coil_verdict(float(volts), ohms))
    if not 0 < ohms < inf:
        return (verdict,)
    return (
        verdict,
        Outcome("current", c.coil_current_a(float(volts), ohms), "A"),
        Outcome("heat", c.coil_power_w(float(volts), ohms), "W"),
    )


def _precharge(pack: float, resistor: float, capacitance: float) -> tuple[Outcome, ...]:
    return (
        Outcome("time constant", c.precharge_tau_s(resistor, capacitance), "s"),
        Outcome("95 % after", c.precharge_time_s(resistor, capacitance), "s"),
        Outcome("current at first", c.precharge_peak_a(pack, resistor), "A"),
        Outcome("heat at first", c.precharge_peak_w(pack, resistor), "W"),
        Outcome("energy left when switched off", c.stored_energy_j(capacitance, pack), "J"),
    )


def _precharge_curve(pack: float, resistor: float, capacitance: float) -> Curve:
    tau = c.precharge_tau_s(resistor, capacitance)
    return curve("time, s", "controller voltage, V", steps(0, 5 * tau), lambda x: pack * (1 - exp(-x / tau)))


def _ohms(kind: str, released: float, floored: float) -> tuple[Outcome, ...]:
    return (Outcome("verdict", c.throttle_verdict(kind, released, floored)),)


def _volts(released: float, floored: float) -> tuple[Outcome, ...]:
    return (Outcome("verdict", c.throttle_verdict("hall", released, floored)),)


_RAISE = "Raise the drive wheels on stands before any throttle test, and keep clear of them."

SHEETS = (
    Worksheet(
        "solenoid-coil",
        "Is a solenoid coil believable?",
        (
            Input("volts", "coil voltage", "V", choices=("36", "48")),
            Input("ohms", "coil resistance, wires off (or: open)", "ohm", low=0, high=inf),
        ),
        _coil,
        (c.coil_verdict, c.coil_current_a, c.coil_power_w),
        "Usual figures only: the part's own figure comes first.",
    ),
    Worksheet(
        "precharge",
        "How a precharge resistor fills a controller",
        (_PACK, _RESISTOR, _CAPACITANCE),
        _precharge,
        (c.precharge_tau_s, c.precharge_time_s, c.precharge_peak_a, c.precharge_peak_w, c.stored_energy_j),
        "The controller stays charged after switching off: discharge it through a resistor before touching.",
        _precharge_curve,
    ),
    Worksheet(
        "throttle-ohms",
        "Throttle sender of the resistor kind",
        (
            Input("kind", "type the controller wants", choices=("0-5k", "5k-0", "0-1k")),
            Input("released", "pedal up (or: open)", "ohm", low=0, high=inf),
            Input("floored", "pedal down (or: open)", "ohm", low=0, high=inf),
        ),
        _ohms,
        (c.throttle_verdict,),
        _RAISE,
    ),
    Worksheet(
        "throttle-volts",
        "Throttle sender of the hall kind",
        (
            Input("released", "output with the pedal up", "V", low=0, high=15),
            Input("floored", "output with the pedal down", "V", low=0, high=15),
        ),
        _volts,
        (c.throttle_verdict,),
        _RAISE,
    ),
)

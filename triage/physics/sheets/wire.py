"""Worksheets for cables, fuses and joints."""

from __future__ import annotations

from triage.physics import heat as h
from triage.physics import wiring as w
from triage.physics.sheets.record import Curve, Input, Outcome, Worksheet, curve, steps

_GAUGE = Input("gauge", "wire gauge", "AWG", choices=w.GAUGES)
_LENGTH = Input("length", "copper in all, there and back", "m", low=0.05, high=50)
_TEMPERATURE = Input("temperature", "temperature of the copper", "degC", default=20.0, low=-40, high=120)
_BASIS = Input("basis", "ampacity by", default="75", choices=("60", "75", "90", "chassis"))
_CONTINUOUS = Input("continuous", "continuous current", "A", low=0.1, high=400)
_DISCONNECT = "Take the pack's main negative off before working on cables."


def _cable(gauge: str, length: float, amps: float, pack: float, temperature: float) -> tuple[Outcome, ...]:
    drop = w.cable_drop_v(gauge, length, amps, temperature)
    return (
        Outcome("drop", drop, "V"),
        Outcome("part of the pack voltage", 100 * drop / pack, "%"),
        Outcome("heat", drop * amps, "W"),
        Outcome("copper", w.wire_area_mm2(gauge), "mm^2"),
        Outcome("resistance", w.wire_mohm_per_m(gauge, temperature), "mΩ/m"),
        *(Outcome(f"ampacity, {basis}", w.ampacity_a(gauge, basis), "A") for basis in _BASIS.choices),
    )


def _cable_curve(gauge: str, length: float, amps: float, pack: float, temperature: float) -> Curve:
    metres = steps(0, min(2 * length, 50))
    return curve("copper in all, m", "drop, V", metres, lambda x: w.cable_drop_v(gauge, x, amps, temperature))


def _choice(
    peak: float, continuous: float, length: float, drop: float, basis: str, temperature: float
) -> tuple[Outcome, ...]:
    gauge = w.choose_gauge(peak, continuous, length, drop, basis, temperature)
    return (
        Outcome("thinnest gauge", gauge),
        Outcome("its drop at the peak", w.cable_drop_v(gauge, length, peak, temperature), "V"),
    )


def _fuse(continuous: float, gauge: str, basis: str, charging: float) -> tuple[Outcome, ...]:
    fuse = w.choose_fuse(continuous, w.ampacity_a(gauge, basis), charging)
    return Outcome("fuse", fuse.amps, "A"), Outcome("DC rating, at least", fuse.dc_volts, "V")


def _joint(amps: float, volts: float) -> tuple[Outcome, ...]:
    milliohms = h.contact_milliohms(amps, volts)
    worn = h.joint_needs_work(volts, amps) if 100 <= amps <= 200 else None
    verdict = {None: "measure at 100 to 200 A", True: "clean or replace", False: "in order"}[worn]
    return (
        Outcome("resistance", milliohms, "mΩ"),
        Outcome("heat in the joint", h.contact_heat_w(amps, milliohms), "W"),
        Outcome("verdict", verdict),
    )


def _joint_curve(amps: float, volts: float) -> Curve:
    milliohms = h.contact_milliohms(amps, volts)
    return curve("current, A", "heat, W", steps(0, 400, 21), lambda x: h.contact_heat_w(x, milliohms))


SHEETS = (
    Worksheet(
        "cable-drop",
        "Voltage drop and heat of a cable",
        (
            _GAUGE,
            _LENGTH,
            Input("amps", "current", "A", low=0.1, high=1000),
            Input("pack", "pack voltage", "V", default=48.0, low=6, high=120),
            _TEMPERATURE,
        ),
        _cable,
        (w.cable_drop_v, w.wire_mohm_per_m, w.wire_area_mm2, w.ampacity_a),
        _DISCONNECT,
        _cable_curve,
    ),
    Worksheet(
        "cable-choice",
        "Thinnest cable for a drop and a current",
        (
            Input("peak", "peak current", "A", low=0.1, high=1000),
            _CONTINUOUS,
            _LENGTH,
            Input("drop", "drop allowed at the peak", "V", low=0.01, high=10),
            _BASIS,
            _TEMPERATURE,
        ),
        _choice,
        (w.choose_gauge,),
        _DISCONNECT,
    ),
    Worksheet(
        "fuse",
        "Fuse for a load and its cable",
        (_CONTINUOUS, _GAUGE, _BASIS, Input("charging", "pack voltage while charging", "V", low=6, high=120)),
        _fuse,
        (w.choose_fuse, w.ampacity_a),
        "As near the source as possible, and rated for DC at that voltage. Local codes come first.",
    ),
    Worksheet(
        "joint-heat",
        "Heat in a joint or contact from the voltage across it",
        (
            Input("amps", "current", "A", low=1, high=1000),
            Input("volts", "voltage across the joint", "V", low=0, high=10),
        ),
        _joint,
        (h.contact_milliohms, h.contact_heat_w, h.joint_needs_work),
        "Melted or smelling of burning: stop using the vehicle.",
        _joint_curve,
    ),
)

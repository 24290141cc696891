"""Copper cable by American Wire Gauge: size, resistance, voltage drop, choice of gauge and of fuse."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from triage.physics.limits import OutOfRange, UnreadableCode, above, one_of, within
from triage.physics.units import MM_PER_INCH

_COPPER_NOHM_M = 17.241  # at 20 C
_COPPER_PER_C = 0.00393
_FUSE_MARGIN = 1.25

GAUGES = ("10", "8", "6", "4", "2", "1/0", "2/0", "4/0")  # thinnest first
# Columns: building wire at 60, 75 and 90 C (NEC Table 310.16), and open chassis wiring (physics gauge table).
_AMPACITY = {
    "60": (30, 40, 55, 70, 95, 125, 145, 195),
    "75": (35, 50, 65, 85, 115, 150, 175, 230),
    "90": (40, 55, 75, 95, 130, 170, 195, 260),
    "chassis": (55, 73, 101, 135, 181, 245, 283, 380),
}
_FUSES_A = (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350)


@dataclass(frozen=True, slots=True)
class Fuse:
    """A fuse to look for."""

    amps: float
    dc_volts: float  # its DC rating must be at least this


def gauge_number(gauge: str) -> int:
    """Gauge as the number of the formula: "6" is 6, "1/0" is 0, "4/0" is -3.

    Formula: n/0 and runs of zeros count down from 1/0 = 0.
    Units: gauge as written in, number out.
    Valid: 20 to 4/0. No gauge read: UnreadableCode.
    Source: "American Wire Gauge" physics table.

    >>> [gauge_number(gauge) for gauge in ("6 AWG", "1/0", "00", "4/0")]
    [6, 0, -1, -3]
    """
    text = gauge.upper().replace("AWG", "").replace("GA", "").strip(" #")
    if text.endswith("/0") and text[:-2].isdecimal():
        number = 1 - int(text[:-2])
    elif text and not text.strip("0"):
        number = 1 - len(text)
    elif text.isdecimal():
        number = int(text)
    else:
        raise UnreadableCode(f"'{gauge}' is not a wire gauge; write 6, 2, 1/0 or 4/0.")
    return int(within("gauge", number, -3, 20, "(-3 is 4/0)"))


def wire_diameter_mm(gauge: str) -> float:
    """Diameter of the solid copper of a gauge.

    Formula: 0.005 in x 92^((36 - n) / 39)
    Units: gauge in, mm out.
    Valid: 20 to 4/0.
    Source: "American Wire Gauge" physics table; ASTM B258 from memory.

    >>> round(wire_diameter_mm("4/0"), 3)
    11.684
    """
    return float(0.005 * 92 ** ((36 - gauge_number(gauge)) / 39) * MM_PER_INCH)


def wire_area_mm2(gauge: str) -> float:
    """Cross section of the copper of a gauge.

    Formula: pi / 4 x d^2
    Units: gauge in, mm2 out.
    Valid: 20 to 4/0.
    Source: "American Wire Gauge" physics table.
    """
    return pi / 4 * wire_diameter_mm(gauge) ** 2


def wire_mohm_per_m(gauge: str, celsius: float = 20.0) -> float:
    """Resistance of copper of a gauge.

    Formula: 17.241 / area x (1 + 0.00393 (T - 20))
    Units: gauge and degrees C in, milliohm per metre out.
    Valid: -40 to 120 degrees C; stranded cable is about 2 % higher (from memory).
    Source: "Wire Gauge ... per 1000 feet" table; the copper constants from memory.

    >>> round(wire_mohm_per_m("6"), 3)
    1.296
    """
    warm = 1 + _COPPER_PER_C * (within("temperature", celsius, -40, 120, "degC") - 20)
    return _COPPER_NOHM_M / wire_area_mm2(gauge) * warm


def cable_drop_v(gauge: str, copper_m: float, amps: float, celsius: float = 20.0) -> float:
    """Voltage lost along a cable.

    Formula: I x mOhm/m x length / 1000
    Units: metres of copper in all (there and back), A and degrees C in, V out.
    Valid: 0 to 50 m, 0 to 1000 A; joints not counted.
    Source: Ohm's law.

    >>> round(cable_drop_v("6", 3.0, 200), 3)
    0.778
    """
    within("length", copper_m, 0, 50, "m")
    within("current", amps, 0, 1000, "A")
    return amps * wire_mohm_per_m(gauge, celsius) * copper_m / 1000


def ampacity_a(gauge: str, basis: str = "75") -> float:
    """Continuous current a gauge is listed for.

    Formula: table
    Units: gauge and basis in, A out.
    Valid: 10 to 4/0 even sizes; basis "60", "75" or "90" (degrees C of the insulation, not more than three
        conductors in a raceway, 30 C around) or "chassis" (open, short). The four differ up to two times.
    Source: "Wire Ampacity Chart (NEC 310.16)"; chassis column from a physics gauge table.

    >>> ampacity_a("2"), ampacity_a("2", "chassis")
    (115.0, 181.0)
    """
    one_of("basis", basis, _AMPACITY)
    numbers = [gauge_number(known) for known in GAUGES]
    number = gauge_number(gauge)
    if number not in numbers:
        raise OutOfRange("gauge", gauge, ", ".join(GAUGES))
    return float(_AMPACITY[basis][numbers.index(number)])


def choose_gauge(
    peak_a: float,
    continuous_a: float,
    copper_m: float,
    max_drop_v: float,
    basis: str = "75",
    celsius: float = 20.0,
) -> str:
    """Thinnest gauge that keeps within a drop at the peak and within its ampacity for continuous current.

    Formula: the first of 10, 8, 6, 4, 2, 1/0, 2/0, 4/0 with drop <= allowed and ampacity >= continuous
    Units: A, metres of copper in all, V and degrees C in.
    Valid: where even 4/0 is too thin, OutOfRange.
    Source: Ohm's law; "Wire Ampacity Chart (NEC 310.16)"; that drop and heat decide is common practice, no
        source.

    >>> choose_gauge(200, 80, 3.0, 0.5)
    '4'
    """
    above("allowed drop", max_drop_v, 0, "V")
    within("continuous current", continuous_a, 0, _AMPACITY[one_of("basis", basis, _AMPACITY)][-1], "A")
    for gauge in GAUGES:
        fits = cable_drop_v(gauge, copper_m, peak_a, celsius) <= max_drop_v
        if fits and ampacity_a(gauge, basis) >= continuous_a:
            return gauge
    least = cable_drop_v(GAUGES[-1], copper_m, peak_a, celsius)
    raise OutOfRange("allowed drop", max_drop_v, f"{least:.3g} V (4/0) or more; shorten or double the run")


def choose_fuse(continuous_a: float, ampacity_a: float, charging_v: float) -> Fuse:
    """Smallest usual fuse for a load that still protects the cable.

    Formula: 1.25 x continuous <= fuse <= ampacity of the cable; DC rating >= pack voltage while charging
    Units: A, A and V in.
    Valid: 0 to 280 A. Where no usual size lies between load and cable, OutOfRange: take a thicker cable.
    Source: NEC 210.20(A) in "Wire Ampacity Chart (NEC 310.16)"; sizes NEC 240.6(A) in "Code Q&A: Fuse and
        Breaker Ratings" and "Section 240.6/Standard Ampere Ratings"; the DC rating is common practice,
        no source.

    >>> choose_fuse(80, 115, 62.0)
    Fuse(amps=100, dc_volts=62.0)
    """
    needed = _FUSE_MARGIN * above("continuous current", continuous_a, 0, "A")
    within("charging voltage", charging_v, 6, 120, "V")
    for amps in _FUSES_A:
        if needed <= amps <= ampacity_a:
            return Fuse(amps, charging_v)
    no_fuse = f"a load with a usual fuse from {needed:g} A up to the cable's {ampacity_a:g} A"
    raise OutOfRange("continuous current", continuous_a, no_fuse)

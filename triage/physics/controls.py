"""Controls: is a solenoid coil believable, how a precharge resistor fills a controller, throttle senders."""

from __future__ import annotations

from enum import StrEnum
from math import inf, log

from triage.physics.limits import OutOfRange, above, one_of, within

_TYPICAL_COIL_OHMS = {36.0: (70.0, 150.0), 48.0: (90.0, 300.0)}
_SHORTED_BELOW_OHMS = 20.0
_OPEN_OHMS = 10_000.0

# Reading with the pedal up, with the pedal down, and the tolerance of either: ohms, or volts for "hall".
_SENDERS = {
    "0-5k": (0.0, 5000.0, 500.0),
    "5k-0": (5000.0, 0.0, 500.0),
    "0-1k": (0.0, 1000.0, 100.0),
    "hall": (1.0, 4.0, 0.5),
}


class Coil(StrEnum):
    """What a coil's resistance says."""

    OPEN = "open: the coil is broken"
    SHORTED = "shorted, or a part for another voltage"
    LOW = "lower than usual: compare with the part's own figure"
    TYPICAL = "usual for this voltage: the coil is sound"
    HIGH = "higher than usual: compare with the part's own figure"


class Sender(StrEnum):
    """What the two end readings of a throttle sender say."""

    GOOD = "the end readings suit this type"
    REVERSED = "the end readings are those of the opposite type"
    OPEN = "open at one end"
    OUT = "an end reading lies outside the tolerance"


def coil_current_a(coil_v: float, ohms: float) -> float:
    """Current through a solenoid coil.

    Formula: V / R
    Units: V and ohm in, A out.
    Valid: 6 to 120 V, more than 0 ohm.
    Source: Ohm's law.

    >>> coil_current_a(48, 120)
    0.4
    """
    return within("coil voltage", coil_v, 6, 120, "V") / above("coil resistance", ohms, 0, "ohm")


def coil_power_w(coil_v: float, ohms: float) -> float:
    """Heat in a solenoid coil.

    Formula: V^2 / R
    Units: V and ohm in, W out.
    Valid: 6 to 120 V, more than 0 ohm. A coil that stays on all day makes some 10 to 30 W, never hundreds.
    Source: Joule's law; the 10 to 30 W from memory.

    >>> coil_power_w(48, 4)  # what some guides call normal: impossible for a coil that stays on
    576.0
    """
    return coil_v * coil_current_a(coil_v, ohms)


def coil_verdict(coil_v: float, ohms: float) -> Coil:
    """What a coil's resistance, measured with its wires off, says.

    Formula: over 10 kilohm open; under 20 ohm shorted; usual 70 to 150 ohm at 36 V, 90 to 300 ohm at 48 V
    Units: nominal V and ohm in (infinite for a meter that shows open).
    Valid: 36 and 48 V coils that stay on. 4 to 14 ohm suits a 12 V starter part that is on for seconds.
    Source: from memory; the 20 ohm follows from coil_power_w (48 V on 14 ohm is 165 W).

    >>> coil_verdict(48, 120).name
    'TYPICAL'
    """
    if coil_v not in _TYPICAL_COIL_OHMS:
        raise OutOfRange("coil voltage", coil_v, "36 or 48 V; for others compare with the part's own figure")
    within("coil resistance", ohms, 0, inf, "ohm")
    low, high = _TYPICAL_COIL_OHMS[coil_v]
    steps = ((_SHORTED_BELOW_OHMS, Coil.SHORTED), (low, Coil.LOW))
    for limit, verdict in steps:
        if ohms < limit:
            return verdict
    return Coil.TYPICAL if ohms <= high else Coil.HIGH if ohms <= _OPEN_OHMS else Coil.OPEN


def precharge_tau_s(ohms: float, microfarads: float) -> float:
    """Time constant of a precharge resistor and a controller's capacitors.

    Formula: R C
    Units: ohm and microfarad in, s out.
    Valid: more than 0; the resistor and capacitance vary by maker.
    Source: circuit theory.

    >>> precharge_tau_s(250, 10_000)
    2.5
    """
    return above("resistance", ohms, 0, "ohm") * above("capacitance", microfarads, 0, "uF") / 1e6


def precharge_time_s(ohms: float, microfarads: float, fraction: float = 0.95) -> float:
    """Time to charge a controller to a fraction of the pack voltage.

    Formula: -R C ln(1 - fraction), about 3 R C for 95 %
    Units: ohm and microfarad in, s out.
    Valid: fractions of 0 to 0.999.
    Source: circuit theory.

    >>> round(precharge_time_s(250, 10_000), 1)
    7.5
    """
    return -precharge_tau_s(ohms, microfarads) * log(1 - within("fraction", fraction, 0, 0.999))


def precharge_peak_a(pack_v: float, ohms: float) -> float:
    """Current through a precharge resistor at the first moment.

    Formula: V / R
    Units: V and ohm in, A out.
    Valid: 6 to 120 V, more than 0 ohm.
    Source: Ohm's law.

    >>> precharge_peak_a(48, 250)
    0.192
    """
    return within("pack voltage", pack_v, 6, 120, "V") / above("resistance", ohms, 0, "ohm")


def precharge_peak_w(pack_v: float, ohms: float) -> float:
    """Heat in a precharge resistor at the first moment, and for as long as the controller is shorted.

    Formula: V^2 / R
    Units: V and ohm in, W out.
    Valid: 6 to 120 V, more than 0 ohm.
    Source: Joule's law.
    """
    return pack_v * precharge_peak_a(pack_v, ohms)


def stored_energy_j(microfarads: float, volts: float) -> float:
    """Energy left in a controller's capacitors after switching off.

    Formula: C V^2 / 2
    Units: microfarad and V in, J out.
    Valid: more than 0 uF, 0 to 150 V.
    Source: circuit theory.

    >>> round(stored_energy_j(10_000, 48), 1)
    11.5
    """
    return above("capacitance", microfarads, 0, "uF") / 1e6 * within("voltage", volts, 0, 150, "V") ** 2 / 2


def throttle_verdict(kind: str, released: float, floored: float) -> Sender:
    """What the readings of a throttle sender with the pedal up and down say; the sweep must be smooth too.

    Formula: each end within 10 % of full scale of its nominal figure; hall within 0.5 V of 1 V and 4 V, so
        that 0.5 to 4.5 V is the whole band
    Units: ohm in with the sender unplugged (infinite for open); hall: V in at its output, powered.
    Valid: "0-5k", "5k-0", "0-1k", "hall", with anything after it. An inductive sender has no such check.
    Source: "Golf Cart Potentiometers: The Basics"; 10 % from operating instructions of a pedal/hand cart;
        hall span "Twist Throttle" wiring directions; 0.5 and 4.5 V from memory.

    >>> throttle_verdict("0-5k", released=4900, floored=60).name
    'REVERSED'
    """
    known = next((name for name in _SENDERS if kind.lower().startswith(name)), kind)
    one_of("throttle sender", known, _SENDERS, "an inductive sender cannot be checked by its end readings")
    for end in (released, floored):
        within("end reading", end, 0, inf)
    up, down, tolerance = _SENDERS[known]
    if inf in (released, floored):
        return Sender.OPEN
    if abs(released - up) <= tolerance and abs(floored - down) <= tolerance:
        return Sender.GOOD
    reversed_ends = abs(released - down) <= tolerance and abs(floored - up) <= tolerance
    return Sender.REVERSED if reversed_ends else Sender.OUT

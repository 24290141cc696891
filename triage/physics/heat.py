"""Heat in a worn contact or joint: current squared times resistance, and the voltage that betrays it."""

from __future__ import annotations

from triage.physics.limits import above, within


def contact_heat_w(amps: float, milliohms: float) -> float:
    """Heat in a joint or contact.

    Formula: I^2 R
    Units: A and milliohm in, W out.
    Valid: 0 to 2000 A, 0 to 1000 milliohm.
    Source: Joule's law.

    >>> contact_heat_w(200, 1), contact_heat_w(400, 1)
    (40.0, 160.0)
    """
    return amps * contact_drop_v(amps, milliohms)


def contact_drop_v(amps: float, milliohms: float) -> float:
    """Voltage across a joint or contact.

    Formula: I R
    Units: A and milliohm in, V out.
    Valid: 0 to 2000 A, 0 to 1000 milliohm.
    Source: Ohm's law.

    >>> contact_drop_v(200, 0.5)
    0.1
    """
    return within("current", amps, 0, 2000, "A") * within("resistance", milliohms, 0, 1000, "milliohm") / 1000


def contact_milliohms(amps: float, volts: float) -> float:
    """Resistance of a joint from the voltage measured across it under load; the inverse of contact_drop_v.

    Formula: V / I
    Units: A and V in, milliohm out.
    Valid: more than 0 A, 0 to 100 V.
    Source: Ohm's law.
    """
    return within("voltage", volts, 0, 100, "V") / above("current", amps, 0, "A") * 1000


def joint_needs_work(volts: float, amps: float, limit_v: float = 0.1) -> bool:
    """Whether a drop across one joint (0.1 V) or along one cable (0.2 V) is worth cleaning or replacing.

    Formula: V > limit
    Units: V and A in.
    Valid: measured at 100 to 200 A; at less the drop says nothing, at more the limit is too strict.
    Source: common practice, no source.
    """
    within("current", amps, 100, 200, "A")
    return within("voltage", volts, 0, 100, "V") > above("limit", limit_v, 0, "V")

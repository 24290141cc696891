"""Exact conversions between the units the trade mixes, and the constants of nature the formulas use."""

from __future__ import annotations

MM_PER_INCH = 25.4
INCHES_PER_MILE = 63360.0
METRES_PER_SECOND_PER_MPH = 0.44704
STANDARD_GRAVITY = 9.80665  # m/s2
FARADAY = 96485.33212  # C/mol
GAS_CONSTANT = 8.314462618  # J/(mol K)
ZERO_CELSIUS = 273.15  # K


def to_celsius(fahrenheit: float) -> float:
    """Degrees F to degrees C.

    Formula: (F - 32) / 1.8
    Units: degrees F in, degrees C out.
    Valid: any temperature.
    Source: definition of the units.

    >>> to_celsius(212)
    100.0
    """
    return (fahrenheit - 32) / 1.8


def to_fahrenheit(celsius: float) -> float:
    """Degrees C to degrees F.

    Formula: 1.8 C + 32
    Units: degrees C in, degrees F out.
    Valid: any temperature.
    Source: definition of the units.

    >>> to_fahrenheit(-40)
    -40.0
    """
    return 1.8 * celsius + 32


def newton_metres(pound_feet: float) -> float:
    """Pound-feet of torque to newton metres.

    Formula: lb ft x 1.35582
    Units: lbf ft in, N m out.
    Valid: any torque.
    Source: definition of the units (pound-force 4.4482216152605 N, foot 0.3048 m).

    >>> round(newton_metres(70), 1)
    94.9
    """
    return pound_feet * 4.4482216152605 * 0.3048

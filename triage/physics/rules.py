"""Speed bands of the published rules, exact on their boundaries; never a verdict on street use."""

from __future__ import annotations

from enum import StrEnum

from triage.physics.limits import above, within

_LSV_WEIGHT_LB = 3000.0
_PTV_PAYLOAD_LB, _PTV_GROSS_LB, _PTV_PERSONS = 1200.0, 2500.0, 4


class SpeedBand(StrEnum):
    """Where a top speed falls among the classes; the standing of a vehicle needs more than speed."""

    GOLF_CAR = "below 15 mph: within the speed of a golf car"
    AT_15 = "exactly 15 mph: at the limit, not a golf car by the strict wording (less than 15)"
    PERSONAL_TRANSPORT = "above 15 and below 20 mph: within the speed of a personal transport vehicle"
    AT_20 = "exactly 20 mph: neither less than 20 (personal transport) nor more than 20 (low-speed vehicle)"
    LOW_SPEED = "above 20 and up to 25 mph: the speed of a low-speed vehicle, which also needs its equipment"
    BEYOND = "above 25 mph: faster than a low-speed vehicle may be"


def speed_band(top_mph: float) -> SpeedBand:
    """Class whose speed a top speed on level ground falls in.

    Formula: < 15; = 15; < 20; = 20; > 20 and <= 25; > 25
    Units: mph in.
    Valid: 0 to 100 mph, United States rules. A golf car's 15 mph is an average on the level. Speed alone
        makes no vehicle street legal: state and local law differ.
    Source: "Golf car statutes" on ANSI Z130.1 and on ANSI Z135 (read on the standards body's page, not in the
        standards); 49 CFR 571.3(b) and 49 CFR 571.500 S5(a).

    >>> speed_band(19).name, speed_band(20).name, speed_band(25).name
    ('PERSONAL_TRANSPORT', 'AT_20', 'LOW_SPEED')
    """
    within("top speed", top_mph, 0, 100, "mph")
    if top_mph in (15, 20):
        return SpeedBand.AT_15 if top_mph == 15 else SpeedBand.AT_20
    bands = ((15, SpeedBand.GOLF_CAR), (20, SpeedBand.PERSONAL_TRANSPORT), (25, SpeedBand.LOW_SPEED))
    return next((band for limit, band in bands if top_mph <= limit), SpeedBand.BEYOND)


def low_speed_weight_ok(gross_lb: float) -> bool:
    """Whether a gross weight rating is below the low-speed vehicle's limit.

    Formula: GVWR < 3000 lb (1361 kg); the 2500 lb of August 2005 is superseded
    Units: lb in.
    Valid: more than 0 lb.
    Source: 49 CFR 571.3(b); 71 FR 20026 (effective 2006-06-05).
    """
    return above("gross weight rating", gross_lb, 0, "lb") < _LSV_WEIGHT_LB


def personal_transport_excess(payload_lb: float, gross_lb: float, persons: int) -> tuple[str, ...]:
    """Which limits of a personal transport vehicle, speed apart, are exceeded; empty when none.

    Formula: payload <= 1200 lb (545 kg), gross weight <= 2500 lb (1135 kg), persons <= 4
    Units: lb in.
    Valid: more than 0 lb, 1 to 20 persons.
    Source: the standards body's page on ANSI Z135.

    >>> personal_transport_excess(900, 2600, 6)
    ('gross weight over 2500 lb', 'more than 4 persons')
    """
    within("persons", persons, 1, 20)
    limits = (
        (above("payload", payload_lb, 0, "lb") > _PTV_PAYLOAD_LB, "payload over 1200 lb"),
        (above("gross weight", gross_lb, 0, "lb") > _PTV_GROSS_LB, "gross weight over 2500 lb"),
        (persons > _PTV_PERSONS, "more than 4 persons"),
    )
    return tuple(words for exceeded, words in limits if exceeded)

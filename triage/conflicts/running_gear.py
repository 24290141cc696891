"""Tyres, lift, spacers and wheel studs held against the model and against each other."""

from __future__ import annotations

from collections.abc import Iterator

from triage.conflicts.listing import likely
from triage.conflicts.told import Told, number
from triage.conflicts.wording import article, conflict, listed, once_more
from triage.model import Conflict, Fact
from triage.pack.schema import Vehicle
from triage.physics.limits import OutOfRange, UnreadableCode
from triage.physics.threads import Fit, fit, parse_thread
from triage.physics.tyres import Tyre, parse_tyre

_PRACTICE = "common practice, no source"


def tyre_height(fact: Fact | None) -> float | None:
    """Height in inches of a told tyre: of its code, or as told; None when neither can be read."""
    if fact is None or isinstance(fact.value, int | float):
        return number(fact)
    tyre = _tyre(str(fact.value))
    return tyre.diameter_in if tyre else None


def standard_height(told: Told) -> float | None:
    """Height in inches of the tallest tyre the model was made with."""
    tyres = [_tyre(vehicle.tyre_size) for vehicle in likely(told) if vehicle.tyre_size]
    return max((tyre.diameter_in for tyre in tyres if tyre), default=None)


def _tyre(code: str) -> Tyre | None:
    try:
        return parse_tyre(code)
    except (UnreadableCode, OutOfRange):
        return None


def clearance(told: Told) -> Iterator[Conflict]:
    """A tyre too tall for the lift that was told; a lift nobody mentioned is a gap, not a conflict."""
    tyre, lift = told.said("tyre_size"), told.best("lift")
    height, standard, raised = tyre_height(tyre), standard_height(told), number(lift)
    base, per_inch = told.limit("tyre_allowance"), told.limit("tyre_allowance_per_lift")
    if not (tyre and lift and height and standard and base and per_inch) or raised is None:
        return
    most = standard + base + per_inch * raised
    if height > most:
        lifted = f"{raised:g} in of lift" if raised else "no lift"
        yield conflict(
            "tyre_against_lift",
            (tyre, lift, told.best("model") or tyre),
            f"{height:.3g} in tyres with {lifted} on {article(told.label)}",
            f"its standard tyre is {standard:.3g} in tall, and with {lifted} about {most:.3g} in is the most to clear",
            once_more(told.ask("lift")),
            f"{told.source('tyre_allowance')}; per inch of lift {told.source('tyre_allowance_per_lift')}",
            sure=False,
        )


def rim(told: Told) -> Iterator[Conflict]:
    """A tyre on a wheel of another diameter than its code says."""
    code, wheel = told.said("tyre_size"), told.said("wheel_diameter")
    tyre, inches = _tyre(str(code.value)) if code else None, number(wheel)
    if code and wheel and tyre and inches and tyre.rim_in != inches:
        claim = f"{article(str(code.value))} tyre on {article(f'{inches:g} in wheel')}"
        reason = f"the last number of its size says it goes on {article(f'{tyre.rim_in:g} in wheel')}"
        ask = once_more(told.ask("tyre_size"))
        yield conflict("tyre_against_wheel", (code, wheel), claim, reason, ask, "tyre_codes")


def spacer(told: Told) -> Iterator[Conflict]:
    """Spacers on one axle and the rub on the other."""
    axle, rub = told.said("spacer_axle"), told.said("rub_axle")
    if axle and rub and axle.value != rub.value:
        claim = f"spacers at the {axle.value} against a rub at the {rub.value}"
        reason = f"a spacer moves only the wheel it is behind, so it does nothing at the {rub.value}"
        ask = "Which wheels rub, and which have the spacers behind them?"
        yield conflict("spacer_away_from_rub", (axle, rub), claim, reason, ask, _PRACTICE)


def stud(told: Told) -> Iterator[Conflict]:
    """A wheel-nut or stud thread other than the model's."""
    fact = told.said("wheel_stud")
    made = [vehicle for vehicle in likely(told) if vehicle.wheel_stud]
    if fact is None or not made or "wheel_stud" in told.excused or any(_fits(v, fact) for v in made):
        return
    own = made[0].wheel_stud
    yield conflict(
        "stud_against_model",
        (fact, told.best("model") or fact),
        f"{fact.value} on the wheels of {article(told.label)}",
        f"its studs are {listed((v.wheel_stud for v in made), 'or')}; "
        f"for {article(str(fact.value))} nut on {article(own)} stud that means: {_fit(own, str(fact.value))}",
        once_more(told.ask("wheel_stud")),
        "catalogue; unified_fine_threads; iso_metric_threads",
    )


def _fits(vehicle: Vehicle, fact: Fact) -> bool:
    try:
        return fit(parse_thread(vehicle.wheel_stud), parse_thread(str(fact.value))) is Fit.MATCH
    except (UnreadableCode, OutOfRange):
        return True


def _fit(stud_code: str, nut_code: str) -> str:
    return fit(parse_thread(stud_code), parse_thread(nut_code)).value

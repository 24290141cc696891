"""Speed and controller current held against what the model leaves the factory with."""

from __future__ import annotations

from collections.abc import Iterator

from triage.conflicts.listing import likely
from triage.conflicts.running_gear import standard_height, tyre_height
from triage.conflicts.told import Told, number
from triage.conflicts.wording import article, conflict, once_more, shown
from triage.model import Conflict
from triage.physics.drivetrain import change
from triage.physics.limits import OutOfRange


def speed(told: Told) -> Iterator[Conflict]:
    """A speed that a stock vehicle, on the tyres told, does not reach."""
    fact, margin = told.said("top_speed"), told.limit("stock_speed")
    listed = [vehicle.top_speed_mph for vehicle in likely(told) if vehicle.top_speed_mph]
    mph = number(fact)
    if not (fact and mph and margin and listed) or "top_speed" in told.excused or _unknown_tyres(told):
        return
    factor = _tyre_factor(told)
    if mph > max(listed) * factor * margin:
        tyres = f" ({max(listed) * factor:.0f} mph on the taller tyres)" if factor > 1 else ""
        yield conflict(
            "speed_beyond_stock",
            (fact, told.best("model") or fact),
            f"{shown(fact)} from a stock {told.label}",
            f"it is listed at {max(listed):g} mph{tyres}, and downhill on a fresh pack at most {margin - 1:.0%} more",
            "Has the motor, the controller or the gearing been changed, or was the speed a guess?",
            f"catalogue; {told.source('stock_speed')}",
            sure=False,
        )


def _unknown_tyres(told: Told) -> bool:
    bigger = any(fact.value == "bigger tyres" for fact in told.every("modification"))
    return bigger and told.best("tyre_size") is None


def _tyre_factor(told: Told) -> float:
    """How much faster taller tyres make it at the same motor speed; 1 when they are not known or not taller."""
    height, standard = tyre_height(told.said("tyre_size")), standard_height(told)
    if not height or not standard:
        return 1.0
    try:
        return max(1.0, change(tyre=height / standard).speed)
    except OutOfRange:
        return 1.0


def current(told: Told) -> Iterator[Conflict]:
    """A controller said to be the stock one, with another rating than the model's."""
    fact, margin = told.said("controller_current"), told.limit("stock_current")
    controller, whole = told.said("controller"), told.said("all_stock")
    stock = controller if controller and controller.value == "stock" else whole
    listed = [vehicle.controller_amps for vehicle in likely(told) if vehicle.controller_amps]
    amps = number(fact)
    if not (fact and amps and margin and listed and stock) or "controller_current" in told.excused:
        return
    if not any(1 / margin <= amps / one <= margin for one in listed):
        yield conflict(
            "current_against_stock",
            (fact, stock, told.best("model") or fact),
            f"{article(shown(fact))} controller as the stock one of {article(told.label)}",
            f"the catalogue has it with {' or '.join(f'{one:g} A' for one in sorted(set(listed)))}",
            once_more(told.ask("controller_current")),
            "catalogue",
        )

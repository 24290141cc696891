"""Which vehicles of the catalogue an answer is for."""

from __future__ import annotations

from collections.abc import Iterable

from triage.pack.schema import AppliesTo, Vehicle


def applies(to: AppliesTo, vehicle: Vehicle) -> bool:
    """True unless something known of the vehicle speaks against it; an empty list means any.

    Controllers are left out: whether one is modified is never in the catalogue.
    """
    return (
        to.powertrain in (None, vehicle.powertrain)
        and _among(to.makes, [vehicle.make])
        and _among(to.models, [vehicle.model, vehicle.id, *vehicle.aliases])
        and (not to.voltages or vehicle.pack_voltage is None or vehicle.pack_voltage in to.voltages)
        and (not to.chemistries or vehicle.battery_chemistry in (None, *to.chemistries))
        and _years_meet(to, vehicle)
    )


def _among(wanted: list[str], names: Iterable[str]) -> bool:
    return not wanted or not {name.casefold() for name in wanted}.isdisjoint(map(str.casefold, names))


def _years_meet(to: AppliesTo, vehicle: Vehicle) -> bool:
    begins_in_time = to.year_to is None or vehicle.year_from is None or vehicle.year_from <= to.year_to
    ends_late_enough = to.year_from is None or vehicle.year_to is None or vehicle.year_to >= to.year_from
    return begins_in_time and ends_late_enough

"""The charger held against the pack: its voltage, and whether it suits the chemistry."""

from __future__ import annotations

from collections.abc import Iterator

from triage.conflicts.told import Told, number
from triage.conflicts.wording import article, conflict, once_more, shown
from triage.model import Conflict, Fact
from triage.physics.charging import LEAD_ACID, charge_voltage_v
from triage.physics.limits import OutOfRange
from triage.physics.pack import cells_in, lithium_window

_ASK_CHARGER = "What does the plate on the charger say it is for?"
_LITHIUM_CLASS_V = 3.0  # a 36, 48 or 72 V class has one 3.2 V cell for each 3 V of its name
_USUAL_PACK_V = 48.0


def voltage(told: Told) -> Iterator[Conflict]:
    """A charger made for another pack."""
    charger, pack, ratio = told.said("charger_voltage"), _pack(told), told.limit("charger_ratio")
    c, p = number(charger), number(pack)
    if not (charger and pack and c and p and ratio) or 1 / ratio <= c / p <= ratio:
        return
    claim = f"{article(shown(charger))} charger on {article(shown(pack))} pack"
    reason = "a charger is made for one pack voltage"
    ask = once_more(told.ask("charger_voltage"))
    yield conflict("charger_against_pack", (charger, pack), claim, reason, ask, told.source("charger_ratio"))


def _pack(told: Told) -> Fact | None:
    """The pack voltage told; else the catalogue's, unless a change has taken it away."""
    return told.said("pack_voltage") or (None if "pack_voltage" in told.excused else told.best("pack_voltage"))


def chemistry(told: Told) -> Iterator[Conflict]:
    """A lead-acid or equalising charger on lithium, a lithium charger on lead, or gel equalised."""
    kind, mode, battery = told.said("charger_kind"), told.said("charger_mode"), told.best("battery_chemistry")
    if battery is None:
        return
    if battery.value == "lithium":
        yield from _lithium(told, battery, mode or (kind if kind and kind.value == "lead-acid" else None))
    elif battery.value in LEAD_ACID and kind and kind.value == "lithium":
        claim = f"a lithium charger on {battery.value} batteries"
        reason = "it ends the charge at a lithium pack's voltage and never equalises or floats as lead needs"
        yield _chemistry(battery, kind, claim, reason, "common practice, no source")
    elif battery.value == "gel" and mode:
        claim = "an equalising charge on gel batteries"
        yield _chemistry(battery, mode, claim, "gel is never equalised", "from memory")


def _lithium(told: Told, battery: Fact, charger: Fact | None) -> Iterator[Conflict]:
    if charger is None:
        return
    pack = number(told.best("pack_voltage")) or _USUAL_PACK_V
    limits = _end_voltages(pack) or _end_voltages(_USUAL_PACK_V)
    if limits:
        equalise, most, shown_pack = limits
        reason = (
            f"when it equalises it goes to {equalise:.3g} V on a {shown_pack:g} V pack, "
            f"and a lithium one of that class must not go above {most:.3g} V"
        )
        kind = "an equalising" if charger.name == "charger_mode" else "a lead-acid"
        claim = f"{kind} charger on a lithium pack"
        yield _chemistry(battery, charger, claim, reason, "charge_voltage_table; lfp_soc_chart")


def _end_voltages(pack_v: float) -> tuple[float, float, float] | None:
    """Equalising voltage of lead, highest voltage of lithium, and the pack they hold for; None for odd packs."""
    try:
        cells = cells_in(pack_v)
        equalise = charge_voltage_v("flooded", cells, stage="equalise")
        return equalise, lithium_window(round(pack_v / _LITHIUM_CLASS_V)).full_v, pack_v
    except OutOfRange:
        return None


def _chemistry(battery: Fact, charger: Fact, claim: str, reason: str, source: str) -> Conflict:
    return conflict("charger_against_chemistry", (battery, charger), claim, reason, _ASK_CHARGER, source)

"""The columns of the two spreadsheets: header, where the value lives in the record, and how it is read."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from triage.pack import cells


@dataclass(frozen=True)
class Column:
    """One column of a table."""

    header: str
    field: str  # "pack_voltage", or "applies_to.makes"
    read: Callable[[str], Any] = cells.text
    write: Callable[[Any], str] = cells.text
    also: tuple[str, ...] = ()  # other headers met in practice
    required: bool = False


def _number(header: str, read: Callable[[str], Any], *also: str, field: str = "") -> Column:
    return Column(header, field or header, read, cells.from_number, also)


def _list(header: str, field: str = "", read: Callable[[str], Any] = cells.texts, also: str = "") -> Column:
    return Column(header, field or header, read, cells.from_texts, tuple(also.split()))


def _applies(header: str, read: Callable[[str], Any] = cells.names, also: str = "") -> Column:
    return Column(header, f"applies_to.{header}", read, cells.from_names, tuple(also.split()))


def _maybe(value: str | None) -> str:
    return value or ""


def _voltages(values: list[float]) -> str:
    return "; ".join(map(cells.from_number, values))


VEHICLE_COLUMNS = (
    Column("make", "make", also=("brand", "manufacturer"), required=True),
    Column("model", "model", also=("model_name",), required=True),
    _list("aliases", also="alias also_known_as other_names"),
    _number("year_from", cells.year, "years", "year", "from", "first_year"),
    _number("year_to", cells.year, "to", "last_year"),
    Column("powertrain", "powertrain", cells.powertrain, _maybe, ("power", "fuel")),
    _number("pack_voltage", cells.volts, "voltage", "volts", "pack_volts", "system_voltage"),
    Column("batteries", "batteries", cells.batteries, _maybe, ("battery_layout", "layout", "pack_layout")),
    _number("top_speed_mph", cells.speed, "top_speed", "speed", "speed_mph", "max_speed"),
    Column("controller_type", "controller_type", also=("controller",)),
    _number("controller_amps", cells.amps, "controller_current", "amps"),
    Column("direction_switch", "direction_switch", also=("direction", "f_r_switch")),
    Column("throttle_sensor", "throttle_sensor", also=("throttle",)),
    Column("wheel_stud", "wheel_stud", also=("stud", "studs", "wheel_studs")),
    Column("tyre_size", "tyre_size", also=("tire_size", "tyre", "tire", "tyres", "tires")),
    Column("charge_interlock", "charge_interlock", cells.yes_no, cells.from_yes_no, ("charge_lockout",)),
    Column("notes", "notes", also=("note", "remarks", "comments")),
    # After the usual ones: what they do not hold.
    Column("id", "id", also=("vehicle_id",)),
    Column("battery_chemistry", "battery_chemistry", cells.chemistry, _maybe, ("chemistry", "battery_type")),
    Column("serial_pattern", "serial_pattern"),
)

ANSWER_COLUMNS = (
    Column("id", "id", also=("answer_id", "number", "no", "ref")),
    Column("title", "title", also=("heading", "subject"), required=True),
    Column("question", "question", required=True),
    Column("answer", "text", also=("text", "reply", "answer_text"), required=True),
    Column("powertrain", "applies_to.powertrain", cells.powertrain, _maybe, ("power", "fuel")),
    _applies("chemistries", cells.chemistries, "chemistry battery_chemistry battery_chemistries"),
    _applies("controllers", cells.controllers, "controller"),
    _applies("makes", also="make brand brands"),
    _applies("models", also="model"),
    Column("voltages", "applies_to.voltages", cells.voltages, _voltages, ("voltage", "pack_voltage", "volts")),
    _number("year_from", cells.year, "years", "year", "from", field="applies_to.year_from"),
    _number("year_to", cells.year, "to", field="applies_to.year_to"),
    _list("needs_facts", "needs", cells.terms, also="needs facts needs_fact facts_needed"),
    _list("hazards", "", cells.terms, also="hazard safety dangers"),
    _list("follow_ups", also="follow_up followups followup"),
    _list("tags", also="tag topics"),
    # After the usual ones: what they do not hold.
    _list("variants", also="variant also_asked_as"),
    _list("symptoms", also="symptom"),
    _list("causes", also="cause"),
    _list("checks", also="check"),
    _list("intents", read=cells.tokens, also="intent"),
    _list("replaces"),
    Column("source", "source", also=("sources",)),
    Column("author", "author"),
    Column("reviewed", "reviewed", also=("review_date", "last_reviewed")),
)


def plain_header(header: str) -> str:
    """A header without case, spaces and signs: "Year From " and "year-from" are one.

    >>> plain_header(" Top speed (mph) ")
    'topspeedmph'
    """
    return "".join(re.findall(r"[^\W_]+", header.casefold()))


def find_column(header: str, columns: tuple[Column, ...]) -> Column | None:
    """The column a header means: "Tire size" is tyre_size, "Pack voltage (V)" is pack_voltage."""
    known = {plain_header(name): column for column in columns for name in column.also}
    known |= {plain_header(column.header): column for column in columns}
    return known.get(plain_header(header)) or known.get(plain_header(re.sub(r"\(.*?\)", "", header)))

"""Ids for rows that have none, and a word about ids that stand twice."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from itertools import chain, combinations
from typing import Any

from triage.pack.cells import from_number
from triage.pack.records import ANSWERS, VEHICLES, Kind
from triage.pack.rows import RowValues
from triage.pack.slugs import slug, unused

_MARKS: tuple[Callable[[dict[str, Any]], str], ...] = (
    lambda values: str(values.get("powertrain") or ""),
    lambda values: from_number(values.get("pack_voltage")),
    lambda values: from_number(values.get("year_from")),
)


def give_ids(kind: Kind, rows: Sequence[RowValues]) -> None:
    """Set values["id"] of every row; two rows with one id are an error, and the second one says so."""
    first: dict[str, int] = {}
    for row in rows:
        name = row.values.get("id")
        if name is None:
            continue
        if name in first:
            message = f"the id '{name}' is already taken in row {first[name]}"
            row.fail(["id"], message, "Give one of the two another id.")
        first.setdefault(name, row.place.row)
    _name_rows(kind, [row for row in rows if row.values.get("id") is None], {name.casefold() for name in first})


def _name_rows(kind: Kind, rows: Sequence[RowValues], taken: set[str]) -> None:
    for base, group in _grouped(kind, rows).items():
        marks = _fewest_marks(group)
        for row in group:
            wanted = slug(" ".join([base, *(mark(row.values) for mark in marks)]))
            row.values["id"] = unused(wanted, taken)
            if row.values["id"] != wanted:
                message = f"named '{row.values['id']}', because '{wanted}' is taken: is it there twice?"
                row.warn(["id"], message, "Take one out, or give both an id.")
            taken.add(row.values["id"].casefold())


def _grouped(kind: Kind, rows: Sequence[RowValues]) -> dict[str, list[RowValues]]:
    groups: dict[str, list[RowValues]] = defaultdict(list)
    parts = {VEHICLES.name: ("make", "model"), ANSWERS.name: ("title",)}[kind.name]
    for row in rows:
        words = " ".join(str(row.values.get(part, "")) for part in parts)
        groups[slug(words) or kind.name.rstrip("s")].append(row)
    return groups


def _fewest_marks(group: Sequence[RowValues]) -> tuple[Callable[[dict[str, Any]], str], ...]:
    """As few of powertrain, voltage and first year as tell the rows of a group apart; all when none do."""
    choices = chain.from_iterable(combinations(_MARKS, count) for count in range(len(_MARKS) + 1))
    for marks in choices:
        if len({tuple(mark(row.values) for mark in marks) for row in group}) == len(group):
            return marks
    return _MARKS

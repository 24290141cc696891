"""Records as the files a person edits: only what is given, in the schema's order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import MISSING, Field, fields, is_dataclass
from enum import Enum
from typing import Any

import yaml

_WIDTH = 110
_DUMPER: Any = getattr(yaml, "CSafeDumper", yaml.SafeDumper)


def to_markdown(record: Any, body_key: str) -> str:
    """YAML between --- lines, then the text of `body_key`."""
    given = to_data(record)
    body = given.pop(body_key, "")
    return f"---\n{_dump(given)}---\n" + (f"\n{body}\n" if body else "")


def to_yaml(records: Iterable[Any]) -> str:
    """A list of records, a blank line between each two."""
    return "\n".join(_dump([to_data(record)]) for record in records)


def to_data(record: Any) -> dict[str, Any]:
    """The keys of a record that differ from their defaults, ready for YAML."""
    return {f.name: _plain(getattr(record, f.name)) for f in fields(record) if _given(record, f)}


def _given(record: Any, one: Field[Any]) -> bool:
    default = one.default_factory() if one.default_factory is not MISSING else one.default
    return bool(getattr(record, one.name) != default)


def _plain(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, float) and value.is_integer():
        return int(value)
    if isinstance(value, list):
        return [_plain(item) for item in value]
    return to_data(value) if is_dataclass(value) else value


def _dump(data: Any) -> str:
    text: str = yaml.dump(data, Dumper=_DUMPER, sort_keys=False, allow_unicode=True, width=_WIDTH)
    return text

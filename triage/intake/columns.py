"""Which column of a table means what: the small YAML file beside an export."""

from __future__ import annotations

from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

import yaml

from triage.intake.errors import IntakeError

CHANNELS = ("mail", "form", "chat", "phone")


@dataclass(frozen=True, slots=True)
class TextColumn:
    """A column that goes into the text, as `label` says: "Year: {year}"."""

    column: str
    label: str

    def shown(self, value: str) -> str:
        """The value in its label; nothing for an empty value."""
        return self.label.replace("{" + self.column + "}", value) if value else ""


@dataclass(frozen=True, slots=True)
class ColumnMap:
    """The columns of an export by what they mean; "" for what the export does not have.

    `channel` is a column, or one of mail, form, chat, phone for all rows. `sent_format` is a strptime
    pattern where dates are not ISO 8601; `zone` the time zone of dates without one. `staff_column` and
    `staff_values` tell rows written by the shop from the asker's.
    """

    id: str = "id"
    name: str = "name"
    email: str = "email"
    subject: str = "subject"
    text: tuple[TextColumn, ...] = (TextColumn("text", "{text}"),)
    sent: str = "sent"
    thread: str = "thread"
    channel: str = "channel"
    sent_format: str = ""
    zone: str = "UTC"
    staff_column: str = ""
    staff_values: tuple[str, ...] = ()

    def named(self) -> dict[str, str]:
        """Meaning and column for each single column named, texts and constants left out."""
        singles = ("id", "name", "email", "subject", "sent", "thread", "staff_column")
        found = {key: str(getattr(self, key)) for key in singles if getattr(self, key)}
        return found | ({"channel": self.channel} if self.channel not in (*CHANNELS, "") else {})


USUAL = ColumnMap()
_KEYS = {f.name for f in fields(ColumnMap)} - {"staff_column", "staff_values"} | {"staff"}


def beside(path: Path) -> Path:
    """Where an export's column file stands: "web.csv.columns.yaml" or "web.columns.yaml" for "web.csv"."""
    long = path.with_name(path.name + ".columns.yaml")
    return long if long.exists() else path.with_suffix(".columns.yaml")


def load_columns(path: Path) -> ColumnMap:
    """Read a column file. Raises IntakeError naming the file, the key and what would be right.

    A column not named in the file is taken as absent; the keys are those of ColumnMap, with
    `staff: {column: ..., values: [...]}` and `text` as one column or a list of columns and labels.
    """
    try:
        data = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    except (yaml.YAMLError, UnicodeDecodeError) as error:
        raise IntakeError(f"{path}: is not YAML: {' '.join(str(error).split())}") from error
    if not isinstance(data, dict):
        raise IntakeError(f"{path}: needs lines like 'text: question', one for each column that means something")
    return _column_map(path, data)


def _column_map(path: Path, data: dict[str, Any]) -> ColumnMap:
    unknown = sorted(set(data) - _KEYS)
    if unknown:
        raise IntakeError(f"{path}: unknown key '{unknown[0]}'. Known: {', '.join(sorted(_KEYS))}.")
    if not data.get("text"):
        raise IntakeError(f"{path}: key 'text' is missing: name the column that holds the question")
    absent = dict.fromkeys(("id", "name", "email", "subject", "sent", "thread", "channel"), "")
    plain = {key: _word(path, key, value) for key, value in data.items() if key not in ("text", "staff")}
    column, values = _staff(path, data.get("staff"))
    texts = _texts(path, data["text"])
    return ColumnMap(**{**absent, **plain}, text=texts, staff_column=column, staff_values=values)


def _word(path: Path, key: str, value: object) -> str:
    if not isinstance(value, str):
        raise IntakeError(f"{path}: key '{key}' must be the name of one column")
    return value


def _texts(path: Path, value: object) -> tuple[TextColumn, ...]:
    items = value if isinstance(value, list) else [value]
    return tuple(text for item in items for text in _text_columns(path, item))


def _text_columns(path: Path, item: object) -> list[TextColumn]:
    if isinstance(item, str):
        return [TextColumn(item, "{" + item + "}")]
    if isinstance(item, dict) and all(isinstance(v, str) and "{" + k + "}" in v for k, v in item.items()):
        return [TextColumn(k, v) for k, v in item.items()]
    raise IntakeError(f"{path}: key 'text': write a column name, or 'year: \"Year: {{year}}\"', not {item!r}")


def _staff(path: Path, value: object) -> tuple[str, tuple[str, ...]]:
    if value is None:
        return "", ()
    match value:
        case {"column": str(column), "values": [*values]}:
            return column, tuple(str(v).strip().lower() for v in values)
        case {"column": str(column), "values": str(single)}:
            return column, (single.strip().lower(),)
    raise IntakeError(f"{path}: key 'staff': write 'staff: {{column: role, values: [staff]}}'")

"""Rows of an export to messages: text joined from its columns, chat turns put together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from triage.intake.columns import CHANNELS, ColumnMap
from triage.intake.errors import IntakeError
from triage.intake.headers import guarded, read_date
from triage.intake.identity import content_id
from triage.intake.message import from_text
from triage.intake.table import Row
from triage.model import Address, Message, Rejected

_NEW_TURN = timedelta(hours=12)  # after this long a chat row starts a question of its own


@dataclass(slots=True)
class _Thread:
    """What is known of a chat so far: the turn still open, staff words since, ids before."""

    turn: Message | None = None
    staff: list[str] = field(default_factory=list)
    ids: tuple[str, ...] = ()


def row_messages(rows: Iterable[Row], columns: ColumnMap, source: str) -> Iterator[Message | Rejected]:
    """One message for each row; with a thread column, one for each turn of the asker in a thread.

    Rows marked as staff are no questions: they stand as `quoted` in the asker's next turn.
    A row without text, or that cannot be read, is rejected with its place.
    """
    zone = _zone(columns.zone)
    threads: dict[str, _Thread] = {}
    for row in rows:
        made = _row_message(row, columns, zone, source)
        key = row.cells.get(columns.thread, "").strip() if columns.thread else ""
        if isinstance(made, Rejected):
            yield made
        elif key:
            yield from _advance(threads.setdefault(key, _Thread()), made, _is_staff(row, columns))
        elif not _is_staff(row, columns):
            yield made
    for thread in threads.values():
        yield from _closed(thread)


def _zone(name: str) -> tzinfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError) as error:
        raise IntakeError(f"unknown time zone '{name}'; write one like 'Europe/London' or 'UTC'") from error


def _is_staff(row: Row, columns: ColumnMap) -> bool:
    return bool(columns.staff_column) and _cell(row, columns.staff_column).lower() in columns.staff_values


def _row_message(row: Row, columns: ColumnMap, zone: tzinfo, source: str) -> Message | Rejected:
    text = "\n".join(filter(None, (t.shown(row.cells.get(t.column, "").strip()) for t in columns.text)))
    wrong = row.wrong or ("" if text.strip() else f"has no text (column {_text_names(columns)} is empty)")
    if wrong:
        return Rejected(f"{source}, {row.place}", wrong, row.raw.encode("utf-8", "replace"))
    sent, notes = _sent(_cell(row, columns.sent), columns.sent_format, zone)
    made = from_text(text, subject=_cell(row, columns.subject), sent=sent, channel=_channel(row, columns))
    sender = Address(_cell(row, columns.email).lower(), _cell(row, columns.name))
    raw = row.raw.encode("utf-8", "replace")
    made = replace(made, sender=sender, notes=made.notes + notes, raw=raw)
    return replace(made, id=_cell(row, columns.id) or content_id(made))


def _text_names(columns: ColumnMap) -> str:
    return " and ".join(f"'{t.column}'" for t in columns.text)


def _cell(row: Row, column: str) -> str:
    return " ".join(row.cells.get(column, "").split()) if column else ""


def _channel(row: Row, columns: ColumnMap) -> str:
    if columns.channel in CHANNELS:
        return columns.channel
    named = _cell(row, columns.channel).lower()
    return named if named in CHANNELS else ("chat" if columns.staff_column else "form")


def _sent(value: str, pattern: str, zone: tzinfo) -> tuple[datetime | None, tuple[str, ...]]:
    if not value:
        return None, ()
    moment = guarded(lambda: _moment(value, pattern, zone), None)
    note = () if moment else (f"date cannot be read: {value[:60]} (set sent_format in the column file)",)
    return moment, note


def _moment(value: str, pattern: str, zone: tzinfo) -> datetime | None:
    """A date by its pattern, ISO 8601, seconds or milliseconds since 1970, or as mail writes it."""
    if value.isdigit() and len(value) in (10, 13) and not pattern:
        return datetime.fromtimestamp(int(value[:10]), UTC)
    if pattern:
        moment = datetime.strptime(value, pattern)
    else:
        iso = guarded(lambda: datetime.fromisoformat(value), None)
        moment = iso or read_date(value)  # type: ignore[assignment]
    return moment.replace(tzinfo=zone) if moment and not moment.tzinfo else moment


def _advance(thread: _Thread, made: Message, staff: bool) -> Iterator[Message]:
    """Take one row of a thread in; yields the turn that it ended, if it ended one."""
    if staff:
        yield from _closed(thread)
        thread.staff.append(made.text)
    elif thread.turn and not _later(thread.turn, made):
        thread.turn = _joined(thread.turn, made)
    else:
        yield from _closed(thread)
        quoted = "\n\n".join(thread.staff)
        thread.turn = replace(made, quoted=quoted or made.quoted, in_reply_to=thread.ids[-1:], references=thread.ids)
        thread.staff, thread.ids = [], (*thread.ids, made.id)


def _closed(thread: _Thread) -> Iterator[Message]:
    if thread.turn:
        yield thread.turn
    thread.turn = None


def _later(turn: Message, made: Message) -> bool:
    return bool(turn.sent and made.sent and made.sent - turn.sent > _NEW_TURN)


def _joined(turn: Message, made: Message) -> Message:
    return replace(turn, text=f"{turn.text}\n{made.text}", raw=turn.raw + b"\n" + made.raw)

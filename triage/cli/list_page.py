"""How the queue looks on a terminal: two lines a thread on a narrow one, one line on a wide one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from rich.table import Table
from rich.text import Text

from triage.cli.page import put, waiting, width
from triage.store import FOUND_MARKS, UNREAD, QueueRow, ThreadState

WIDE = 120  # columns from which a thread fits on one line
_STATE = {
    ThreadState.NEW: "new",
    ThreadState.READY: "ready",
    ThreadState.WAITING_FOR_ASKER: "asked",
    ThreadState.REPLIED: "replied",
    ThreadState.SETTLED: "settled",
    ThreadState.SET_ASIDE: "set aside",
    ThreadState.AUTOMATIC: "automatic",
}
_DECISION = {"answer": "ready", "ask": "ask first", "hand_over": "look first", "no_answer": "no answer"}
_LEGEND = "!! serious danger reported   ! lesser danger reported   ? not read yet"


def show_queue(rows: Sequence[QueueRow], counts: Mapping[ThreadState, int], now: datetime) -> None:
    """The threads, what the marks mean, and how many stand where."""
    total = ", ".join(f"{count} {state.label}" for state, count in counts.items() if count)
    if not rows:
        put([Text("No thread here."), Text(total, style="dim")])
        return
    table = _wide(rows, now) if width() >= WIDE else _narrow(rows, now)
    legend = [Text(_LEGEND, style="dim")] if any(map(_mark, rows)) else []
    put([table, Text(""), *legend, Text(total, style="dim")])


def _wide(rows: Sequence[QueueRow], now: datetime) -> Table:
    table = _table()
    table.add_column("who", width=18, no_wrap=True)
    table.add_column("vehicle", ratio=3, no_wrap=True)
    table.add_column("what is wrong", ratio=4, no_wrap=True)
    table.add_column("missing", ratio=2, no_wrap=True)
    for row in rows:
        table.add_row(*_start(row, now), _who(row), _vehicle(row), _wrong(row), _missing(row))
    return table


def _narrow(rows: Sequence[QueueRow], now: datetime) -> Table:
    table = _table()
    table.add_column("vehicle\nwhat is wrong", ratio=3, no_wrap=True)
    table.add_column("who\nmissing", ratio=2, no_wrap=True)
    for row in rows:
        left, right = (_vehicle(row), _wrong(row)), (_who(row), _missing(row))
        table.add_row(*_start(row, now), Text("\n").join(left), Text("\n").join(right))
    return table


def _table() -> Table:
    table = Table(box=None, padding=(0, 1, 0, 0), show_edge=False, header_style="bold", expand=True)
    table.add_column("", width=2)
    table.add_column("No.", justify="right", no_wrap=True, min_width=3)
    table.add_column("waits", justify="right", width=5, no_wrap=True)
    table.add_column("state", width=10, no_wrap=True)
    return table


def _start(row: QueueRow, now: datetime) -> tuple[Text, Text, Text, Text]:
    return Text(_mark(row), style="bold red"), Text(str(row.thread)), Text(waiting(now, row.waiting_since)), _state(row)


def _mark(row: QueueRow) -> str:
    """Told apart by sign, not by colour alone."""
    if row.danger <= 1:
        return "!!"
    return "!" if row.danger < UNREAD else "?" if row.danger == UNREAD else ""


def _state(row: QueueRow) -> Text:
    decided = row.state is ThreadState.READY and row.decision
    return Text(_DECISION[row.decision.value] if decided and row.decision else _STATE[row.state])


def _who(row: QueueRow) -> Text:
    return Text(row.asker.name or row.asker.email or "(no name)")


def _vehicle(row: QueueRow) -> Text:
    return Text(row.summary.vehicle or "vehicle not told")


def _wrong(row: QueueRow) -> Text:
    """What is wrong; in a search, the place where the words stand."""
    if not row.found:
        return Text(" ".join((row.summary.wrong or row.subject or "(no subject)").split()))
    text, (begin, end) = Text(), FOUND_MARKS
    for part in _from_hit(" ".join(row.found.split()), begin).split(begin):
        found, closed, rest = part.partition(end)
        text.append(found, style="bold" if closed else "").append(rest)
    return text


def _from_hit(found: str, begin: str) -> str:
    """The text from a word before the first hit on, so that a narrow column shows it."""
    before, mark, after = found.partition(begin)
    words = before.split()
    return f"…{words[-1]} {mark}{after}" if len(words) > 1 else found


def _missing(row: QueueRow) -> Text:
    return Text(", ".join(name.replace("_", " ") for name in row.summary.missing), style="dim")

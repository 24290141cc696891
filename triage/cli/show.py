"""How readings, threads and the queue look on a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from triage.model import Fact, FactValue, HazardNote, Reading, Signal, Standing
from triage.pack import Pack
from triage.store import HistoryEntry, QueueRow, Thread, ThreadState

_SIGNAL_STYLE = {
    Signal.DANGER: "bold white on red",
    Signal.WARNING: "bold black on dark_orange",
    Signal.CAUTION: "bold black on yellow",
    Signal.NOTICE: "bold white on blue",
}
_MARK = {  # told apart by sign, not by colour alone
    Standing.STATED: "",
    Standing.HEDGED: "?",
    Standing.INFERRED: "→",
    Standing.CORRECTED: "!",
    Standing.DENIED: "not",
    Standing.PLANNED: "plan",
    Standing.PAST: "was",
    Standing.OTHER: "other's",
}
_DECISION = {
    "answer": "can be answered: look it over and send",
    "ask": "ask first: facts are missing",
    "hand_over": "a person must look first",
    "no_answer": "nothing in the base fits",
}


def show_reading(reading: Reading, text: str) -> None:
    """One reading on the terminal."""
    console = Console(highlight=False)
    console.print(Text(text.strip(), style="italic"))
    console.print(Group(*_reading_parts(reading)))


def _reading_parts(reading: Reading) -> Iterator[RenderableType]:
    yield _head("Decision", f"{_DECISION[reading.decision.value]} ({'; '.join(reading.reasons)})")
    if reading.hazards:
        yield _head("Dangers")
        yield from (_indented(_hazard(note)) for note in reading.hazards)
    yield _head("Facts")
    yield _indented(_facts(reading.facts))
    if reading.conflicts:
        yield _head("Does not fit together")
        yield from (_indented(Text(conflict.says)) for conflict in reading.conflicts)
    if reading.gaps:
        yield _head("Worth asking")
        yield from (_indented(Text(f"{gap.worth:.2f}  {gap.ask}")) for gap in reading.gaps)
    if reading.matches:
        yield _head("Answers")
        yield from (
            _indented(Text(f"{m.probability:5.0%}  {m.answer}   {'; '.join(m.why)}")) for m in reading.matches[:3]
        )
    if reading.causes:
        yield _head("Likely causes")
        yield _indented(Text(", ".join(f"{c.cause} {c.probability:.0%}" for c in reading.causes[:5])))
    if reading.checks:
        yield _head("Checks, in order")
        yield from (
            _indented(Text(f"{n}. {s.check} (about {s.cost:.0f} min): {s.expected}"))
            for n, s in enumerate(reading.checks[:5], 1)
        )
    yield _head("Draft", f"reading ease {reading.draft.reading_ease}" if reading.draft.reading_ease else "")
    yield _indented(Text(reading.draft.body))


def _head(title: str, detail: str = "") -> Text:
    return Text.assemble("\n", (title, "bold"), ("  " + detail if detail else ""))


def _indented(item: RenderableType) -> Padding:
    return Padding(item, (0, 0, 0, 2))


def _hazard(note: HazardNote) -> Text:
    state = "reported" if note.urgent else "in the words" if note.span else "in the work"
    return Text.assemble(
        (f" {note.signal.value} ", _SIGNAL_STYLE[note.signal]), f" {note.hazard} ({state}): {note.basis}"
    )


def _facts(facts: Sequence[Fact]) -> Table:
    table = Table.grid(padding=(0, 2))
    for fact in facts:
        condition = f" ({fact.condition})" if fact.condition else ""
        what = f"{fact.what}: " if fact.name == "measurement" and fact.what else ""
        vehicle = f"[{fact.vehicle}] " if fact.vehicle > 1 else ""
        table.add_row(
            Text(_MARK[fact.standing], style="bold"),
            Text(vehicle + fact.name),
            Text(f"{what}{shown(fact.value)} {fact.unit}{condition}".strip()),
            Text(fact.basis, style="dim"),
        )
    return table


def shown(value: FactValue) -> str:
    """A fact's value as people write it."""
    if isinstance(value, tuple):
        return " ".join(f"{item:g}" for item in value)
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def show_queue(rows: Sequence[QueueRow], counts: Mapping[ThreadState, int], now: datetime) -> None:
    """The queue as one line per thread."""
    console = Console(highlight=False)
    table = Table(box=None, padding=(0, 1), show_edge=False, header_style="bold")
    for title, width in (
        ("", 2),
        ("No.", 4),
        ("waits", 6),
        ("state", 14),
        ("who", 16),
        ("vehicle", 28),
        ("what is wrong", None),
        ("missing", 18),
    ):
        table.add_column(title, max_width=width, no_wrap=width is not None, overflow="ellipsis")
    for row in rows:
        table.add_row(*_row(row, now))
    console.print(table)
    console.print(Text(", ".join(f"{count} {state.label}" for state, count in counts.items() if count), style="dim"))


def _row(row: QueueRow, now: datetime) -> Iterator[RenderableType]:
    yield Text("‼" if row.danger <= 1 else "!" if row.danger <= 3 else "", style="bold red")
    yield Text(str(row.thread))
    yield Text(waiting(now, row.waiting_since))
    yield Text(
        row.state.label if row.state is not ThreadState.READY or not row.decision else _SHORT[row.decision.value]
    )
    yield Text(row.asker.name or row.asker.email)
    yield Text(row.summary.vehicle or "not told")
    yield Text(row.summary.wrong or row.subject)
    yield Text(", ".join(row.summary.missing))


_SHORT = {"answer": "ready", "ask": "ready: asks", "hand_over": "look first", "no_answer": "no answer"}


def waiting(now: datetime, since: datetime) -> str:
    """How long somebody has waited: "40 m", "5 h", "12 d"."""
    minutes = max(0, int((now - since).total_seconds() // 60))
    if minutes < 60:
        return f"{minutes} m"
    return f"{minutes // 60} h" if minutes < 48 * 60 else f"{minutes // 1440} d"


def show_thread(thread: Thread, history: Sequence[HistoryEntry], pack: Pack, now: datetime) -> None:
    """A thread whole."""
    console = Console(highlight=False)
    waits = waiting(now, thread.waiting_since)
    console.print(Text(f"Thread {thread.id}: {thread.subject or '(no subject)'}", style="bold"))
    console.print(Text(f"{thread.asker.name} <{thread.asker.email}>   {thread.state.label}   waits {waits}"))
    for message in thread.messages:
        console.print(
            _head(
                f"{message.sent:%d %b %Y %H:%M}" if message.sent else "no date",
                f"{message.channel}, {message.sender.name or message.sender.email}",
            )
        )
        console.print(_indented(Text(message.text or "(no words of the asker's own)", style="italic")))
        for label, text in (
            ("quoted", message.quoted),
            ("forwarded", message.forwarded),
            ("signature", message.signature),
        ):
            if text:
                console.print(_indented(Text(f"[{label}, {len(text.split())} words set aside]", style="dim")))
    for saved in thread.readings:
        console.print(Group(*_reading_parts(saved.reading)))
    notes = [entry for entry in history if entry.what.value == "note"]
    for entry in notes:
        console.print(_head("Note", f"{entry.by}, {entry.at:%d %b %H:%M}: {entry.after.get('text', '')}"))
    for reply in thread.replies:
        console.print(_head("Replied", f"by {reply.by}, {reply.how}, {reply.at:%d %b %Y %H:%M}"))

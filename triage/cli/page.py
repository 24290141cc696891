"""What every terminal page is made of: headings, indents, values in words; no colour where it is no terminal."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from triage.model import FactValue


def width() -> int:
    """Columns there are; 80 when not a terminal, or as COLUMNS says."""
    return Console().width


def put(items: Iterable[RenderableType]) -> None:
    """Print the items, one below the other, without blanks at the ends of lines."""
    console = Console(highlight=False)
    with console.capture() as page:
        for item in items:
            console.print(item)
    print("\n".join(line.rstrip() for line in page.get().splitlines()))


def head(title: str, detail: str = "") -> Text:
    """A heading with a blank line before it."""
    return Text.assemble("\n", (title, "bold"), ("  " + detail if detail else ""))


def indented(item: RenderableType, by: int = 2) -> Padding:
    """The item moved in from the left."""
    return Padding(item, (0, 0, 0, by), expand=False)


def numbered(rows: Iterable[tuple[str, Text]]) -> Padding:
    """Short marks on the left, texts that wrap on the right."""
    table = Table.grid(padding=(0, 2))
    table.add_column(no_wrap=True, justify="right")
    table.add_column()
    for mark, text in rows:
        table.add_row(Text(mark), text)
    return indented(table)


def shown(value: FactValue) -> str:
    """A fact's value as people write it."""
    if isinstance(value, tuple):
        return " ".join(f"{item:g}" for item in value)
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def waiting(now: datetime, since: datetime) -> str:
    """How long somebody has waited: "40 m", "5 h", "12 d"."""
    minutes = max(0, int((now - since).total_seconds() // 60))
    if minutes < 60:
        return f"{minutes} m"
    return f"{minutes // 60} h" if minutes < 48 * 60 else f"{minutes // 1440} d"

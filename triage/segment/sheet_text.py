"""The run sheet as plain text for a tablet: no line is broken, so that it fits any width and any size of type."""

from __future__ import annotations

from collections.abc import Iterator

from triage.segment.sheet import Block, Look, Page, Sheet

_LOUD = frozenset({Look.WARN, Look.GAP})


def as_text(sheet: Sheet) -> str:
    """The sheet; a blank line between blocks, a rule between pages."""
    pages = "\n\n".join("\n".join(_page(page)) for page in sheet.pages)
    return f"{sheet.title}\n{sheet.shop}\n\n{pages}\n"


def _page(page: Page) -> Iterator[str]:
    mark = f"{page.mark}. " if page.mark.isdigit() else f"{page.mark.upper()}: " if page.mark else ""
    yield "=" * 40
    yield f"{mark}{page.title}"
    yield page.when
    yield from page.clock
    for block in page.blocks:
        yield ""
        yield from _block(block)


def _block(block: Block) -> Iterator[str]:
    yield f"{'!! ' if block.look in _LOUD else ''}{block.label.upper()}"
    yield from (f"- {line}" for line in block.lines) if len(block.lines) > 1 else block.lines

"""The run sheet as a PDF in large type: a page a question, each set as large as fits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from triage.segment.paper import Paper
from triage.segment.pdf_book import Book, new_book
from triage.segment.sheet import Block, Look, Page, Sheet

MARGIN = 40.0
LABELS = 84.0  # width of the column of labels
HEAD = 54.0  # height of a page's head
FOOT = 40.0
GAP_BETWEEN = 11.0  # between blocks
LEADING = 1.32
PADDING = 7.0  # inside a frame
SCALES = (1.25, 1.15, 1.07, 1.0, 0.94, 0.88, 0.83)  # the largest that fits one page is taken
LABEL_SIZE = 9.5

_SIZES = {Look.SAY: 15.0, Look.WARN: 14.5, Look.WORDS: 12.0, Look.NOTE: 12.5, Look.GAP: 14.5, Look.NUMBER: 15.0}
_BOLD = frozenset({Look.WARN, Look.GAP, Look.NUMBER})
_MARKED = frozenset({Look.SAY, Look.WARN, Look.GAP, Look.NUMBER})
_GREY = {Look.WORDS: 60}
MARK = "• "


@dataclass(frozen=True, slots=True)
class Set:
    """A block set in type: its lines, and what it takes."""

    block: Block
    lines: tuple[str, ...]
    size: float
    hang: float = 0.0  # how far a line that goes on stands in, below one with a mark

    @property
    def height(self) -> float:
        """Points from its top to its bottom."""
        return len(self.lines) * self.size * LEADING + self._padding

    def lines_in(self, room: float) -> int:
        """How many of its lines fit."""
        return int((room - self._padding) / (self.size * LEADING))

    @property
    def _padding(self) -> float:
        return 2 * PADDING if self.block.look is Look.WARN else 0.0


def as_pdf(sheet: Sheet, paper: Paper) -> bytes:
    """The sheet as a PDF file with its fonts in it."""
    with new_book(paper) as book:
        laid = [part for page in sheet.pages for part in _laid_out(page, book)]
        for number, (page, blocks) in enumerate(laid, start=1):
            book.add_page()
            _head(page, book)
            _body(blocks, book)
            _foot(sheet, number, laid, book)
        return book.saved()


def _laid_out(page: Page, book: Book) -> Iterator[tuple[Page, list[Set]]]:
    """The page in the largest type that fits, or over several pages in the usual one."""
    room = book.paper.height - 2 * MARGIN - HEAD - FOOT
    for scale in SCALES:
        blocks = _set_blocks(page.blocks, scale, book)
        if _height(blocks) <= room:
            yield page, blocks
            return
    rest = _set_blocks(page.blocks, 1.0, book)
    while rest:
        taken, rest = _first_page(rest, room)
        yield page, taken


def _set_blocks(blocks: Sequence[Block], scale: float, book: Book) -> list[Set]:
    return [_set_block(block, _SIZES[block.look] * scale, book) for block in blocks]


def _set_block(block: Block, size: float, book: Book) -> Set:
    bold = block.look in _BOLD
    hang = book.width(MARK, size, bold) if len(block.lines) > 1 and block.look in _MARKED else 0.0
    width = book.paper.width - 2 * MARGIN - LABELS - (PADDING if block.look is Look.WARN else 0.0) - hang
    lines: list[str] = []
    for line in block.lines:
        first, *rest = _wrapped(line, width, size, bold, book)
        lines += [MARK + first if hang else first, *rest]
    return Set(block, tuple(lines), size, hang)


def _wrapped(text: str, width: float, size: float, bold: bool, book: Book) -> Iterator[str]:
    """The text in lines no wider than `width`; a word that is wider by itself is cut."""
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if book.width(longer, size, bold) <= width:
            line = longer
            continue
        if line:
            yield line
        while book.width(word, size, bold) > width:
            fits = next(n for n in range(len(word) - 1, 0, -1) if n == 1 or book.width(word[:n], size, bold) <= width)
            yield word[:fits]
            word = word[fits:]
        line = word
    if line:
        yield line


def _height(blocks: Sequence[Set]) -> float:
    return sum(one.height for one in blocks) + GAP_BETWEEN * max(0, len(blocks) - 1)


def _first_page(blocks: list[Set], room: float) -> tuple[list[Set], list[Set]]:
    """As many lines as fit, and the rest; a block is divided between lines."""
    taken: list[Set] = []
    for number, one in enumerate(blocks):
        left = room - _height(taken) - (GAP_BETWEEN if taken else 0.0)
        if one.height <= left:
            taken.append(one)
            continue
        fit = max(0 if taken else 1, one.lines_in(left))
        head, tail = one.lines[:fit], one.lines[fit:]
        first = [replace(one, lines=head)] if head else []
        return [*taken, *first], [replace(one, lines=tail), *blocks[number + 1 :]]
    return taken, []


def _head(page: Page, book: Book) -> None:
    x, base = MARGIN, MARGIN + 28
    if page.mark:
        size = 32.0 if page.mark.isdigit() else 17.0
        book.text(page.mark, x, base, size, bold=True)
        x += book.width(page.mark, size, bold=True) + 14
    book.text(page.title, x, base, 18.0, bold=True)
    right = book.paper.width - MARGIN - book.width(page.when, 12.0)
    below = right < x + book.width(page.title, 18.0, bold=True) + 10
    book.text(page.when, right, base + 14 if below else base, 12.0)
    book.bar(MARGIN, MARGIN + (44 if below else 38), book.paper.width - 2 * MARGIN, 2.5)


def _body(blocks: Sequence[Set], book: Book) -> None:
    y = MARGIN + HEAD
    for one in blocks:
        _draw(one, y, book)
        y += one.height + GAP_BETWEEN


def _draw(one: Set, y: float, book: Book) -> None:
    look, x = one.block.look, MARGIN + LABELS
    top = y
    if look is Look.WARN:
        book.frame(MARGIN - PADDING, y, book.paper.width - 2 * MARGIN + 2 * PADDING, one.height, 2.0)
        top += PADDING
    if look is Look.GAP:
        book.bar(MARGIN - PADDING, y, 4.5, one.height)
    first = top + one.size * 0.98
    book.text(
        one.block.label.upper(), MARGIN + (3 if look in (Look.WARN, Look.GAP) else 0), first, LABEL_SIZE, True, 60
    )
    for number, line in enumerate(one.lines):
        left = x + (0.0 if line.startswith(MARK) else one.hang)
        book.text(line, left, first + number * one.size * LEADING, one.size, look in _BOLD, _GREY.get(look, 0))


def _foot(sheet: Sheet, number: int, laid: Sequence[tuple[Page, list[Set]]], book: Book) -> None:
    base = book.paper.height - MARGIN + 6
    place = f"{number} of {len(laid)}"
    following = laid[number][0] if number < len(laid) else None
    book.bar(MARGIN, base - 15, book.paper.width - 2 * MARGIN, 0.75, 120)
    book.text(sheet.title, MARGIN, base, 9.5, grey=60)
    title_end = MARGIN + book.width(sheet.title, 9.5)
    book.text(place, book.paper.width - MARGIN - book.width(place, 9.5), base, 9.5, grey=60)
    clock = "   ·   ".join(laid[number - 1][0].clock)
    book.text(clock, MARGIN, base - 22, 11.0)
    if following:
        mark = f"{following.mark}. " if following.mark.isdigit() else ""
        after = f"next: {mark}{following.title}"
        book.text(after, title_end + 24, base, 11, bold=True)

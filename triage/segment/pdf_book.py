"""A PDF drawn by hand: text in embedded fonts, boxes and lines, page by page; PDFium writes it."""

from __future__ import annotations

import ctypes
import io
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from importlib.resources import files
from typing import Any

from triage.segment.paper import Paper

REGULAR, BOLD = "DejaVuSansCondensed.ttf", "DejaVuSansCondensed-Bold.ttf"
_DRAWN = (
    (0x20, 0x7F),
    (0xA0, 0x250),
    (0x2B0, 0x300),
    (0x370, 0x530),
    (0x2000, 0x20C0),
    (0x2100, 0x2270),
    (0x25A0, 0x2600),
)
_INSTEAD = "?"  # for what the fonts cannot show: an emoji, a script they lack
_FILL_WINDING = 2  # FPDF_FILLMODE_WINDING (fpdf_edit.h)


@contextmanager
def new_book(paper: Paper) -> Iterator[Book]:
    """An empty PDF to draw on; its memory is given back at the end."""
    import pypdfium2

    document = pypdfium2.PdfDocument.new()
    try:
        yield Book(document, paper)
    finally:
        document.close()


class Book:
    """A PDF under way. Lengths are points; y counts downwards from the top of the page."""

    def __init__(self, document: Any, paper: Paper) -> None:
        self._document, self.paper = document, paper
        self._fonts = {name: _load(document, name) for name in (REGULAR, BOLD)}
        self._widths: dict[tuple[str, str], float] = {}
        self._page: Any = None

    def add_page(self) -> None:
        """Begin the next page."""
        self._finish_page()
        self._page = self._document.new_page(self.paper.width, self.paper.height)

    def width(self, text: str, size: float, bold: bool = False) -> float:
        """How wide the text is when drawn."""
        font = BOLD if bold else REGULAR
        return sum(self._advance(sign, font) for sign in drawable(text)) * size

    def text(self, text: str, x: float, y: float, size: float, bold: bool = False, grey: int = 0) -> None:
        """Draw one line with its base line at y; `grey` 0 is black, 255 white."""
        import pypdfium2.raw as raw

        shown = drawable(text)
        if not shown.strip():
            return
        drawn = raw.FPDFPageObj_CreateTextObj(self._document.raw, self._fonts[BOLD if bold else REGULAR], size)
        units = (shown + "\0").encode("utf-16-le")
        raw.FPDFText_SetText(drawn, (ctypes.c_ushort * (len(units) // 2)).from_buffer_copy(units))
        raw.FPDFPageObj_SetFillColor(drawn, grey, grey, grey, 255)
        raw.FPDFPageObj_Transform(drawn, 1, 0, 0, 1, x, self.paper.height - y)
        raw.FPDFPage_InsertObject(self._page.raw, drawn)

    def bar(self, x: float, y: float, width: float, height: float, grey: int = 0) -> None:
        """Fill a rectangle whose upper left corner is at x, y."""
        import pypdfium2.raw as raw

        drawn = raw.FPDFPageObj_CreateNewRect(x, self.paper.height - y - height, width, height)
        raw.FPDFPageObj_SetFillColor(drawn, grey, grey, grey, 255)
        raw.FPDFPath_SetDrawMode(drawn, _FILL_WINDING, 0)
        raw.FPDFPage_InsertObject(self._page.raw, drawn)

    def frame(self, x: float, y: float, width: float, height: float, line: float) -> None:
        """Draw the outline of a rectangle."""
        self.bar(x, y, width, line)
        self.bar(x, y + height - line, width, line)
        self.bar(x, y, line, height)
        self.bar(x + width - line, y, line, height)

    def saved(self) -> bytes:
        """The finished file."""
        self._finish_page()
        out = io.BytesIO()
        self._document.save(out)
        return out.getvalue()

    def _finish_page(self) -> None:
        if self._page is not None:
            self._page.gen_content()
            self._page.close()
            self._page = None

    def _advance(self, sign: str, font: str) -> float:
        """Width of one character at size 1."""
        known = self._widths.get((sign, font))
        if known is None:
            import pypdfium2.raw as raw

            found = ctypes.c_float()
            raw.FPDFFont_GetGlyphWidth(self._fonts[font], ord(sign), 1000.0, ctypes.byref(found))
            known = self._widths[sign, font] = found.value / 1000
        return known


def drawable(text: str) -> str:
    """The text with one sign per letter, and a question mark for what the fonts do not have.

    >>> drawable("36 V — ½ in 🚗")
    '36 V — ½ in ?'
    """
    composed = unicodedata.normalize("NFC", text)
    return "".join(
        sign if _is_drawn(ord(sign)) else _INSTEAD for sign in composed if unicodedata.category(sign) != "Mn"
    )


@lru_cache(maxsize=4096)
def _is_drawn(code: int) -> bool:
    return any(first <= code < last for first, last in _DRAWN)


def _load(document: Any, name: str) -> Any:
    import pypdfium2.raw as raw

    data = (files("triage.segment") / "fonts" / name).read_bytes()
    kept = (ctypes.c_uint8 * len(data)).from_buffer_copy(data)
    return raw.FPDFText_LoadFont(document.raw, kept, len(data), raw.FPDF_FONT_TRUETYPE, True)

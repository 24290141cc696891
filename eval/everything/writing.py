"""A report piece by piece: text and tables as Markdown, pictures beside it, and the whole as one HTML page."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from eval.figures import Value
from eval.tables import NOTHING

FOLDER = "report"  # of the pictures, beside the report


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture by name, with what it shows in words for those who do not see it."""

    name: str
    svg: str
    alt: str


@dataclass(frozen=True, slots=True)
class Folded:
    """A long list: closed at first on the page, and in the Markdown report a file of its own."""

    name: str
    summary: str
    text: str


Piece = str | Picture | Folded


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and what stands under it."""

    title: str
    pieces: tuple[Piece, ...]

    @property
    def anchor(self) -> str:
        """The name to link it by."""
        return re.sub(r"[^a-z0-9]+", "-", self.title.lower()).strip("-")


def figure(item: Value, *, percent: bool = False, interval: bool = True) -> str:
    """A figure with its interval: "83.1 % (77.0 to 88.9)", "0.914 (0.880 to 0.944)", or a dash."""
    if item.value is None:
        return NOTHING
    scale, digits, unit = (100.0, 1, " %") if percent else (1.0, 3, "")
    shown = f"{scale * item.value:.{digits}f}{unit}"
    if not interval or item.interval is None:
        return shown
    low, high = (f"{scale * end:.{digits}f}" for end in item.interval)
    return f"{shown} ({low} to {high})"


def markdown(title: str, opening: str, sections: Sequence[Section]) -> str:
    """The report as Markdown, pictures as links."""
    return "\n\n".join([f"# {title}", opening, *(text for item in sections for text in _section(item))]) + "\n"


def _section(section: Section) -> Iterable[str]:
    yield f"## {section.title}"
    for piece in section.pieces:
        yield _marked_down(piece)


def _marked_down(piece: Piece) -> str:
    if isinstance(piece, str):
        return piece
    if isinstance(piece, Folded):
        return f"[{piece.summary}]({FOLDER}/{piece.name}.md)"
    return f"![{piece.alt}]({FOLDER}/{piece.name}.svg)"


def write_beside(sections: Iterable[Section], folder: Path) -> None:
    """Pictures and long lists as files of their own; those of an earlier report that are no longer shown go."""
    beside = dict(_file(piece) for item in sections for piece in item.pieces if not isinstance(piece, str))
    (folder / FOLDER).mkdir(parents=True, exist_ok=True)
    for old in (folder / FOLDER).iterdir():
        if old.suffix in (".svg", ".md") and old.name not in beside:
            old.unlink()
    for name, text in beside.items():
        (folder / FOLDER / name).write_text(text, encoding="utf-8")


def _file(piece: Picture | Folded) -> tuple[str, str]:
    if isinstance(piece, Picture):
        return f"{piece.name}.svg", piece.svg
    return f"{piece.name}.md", f"# {piece.summary}\n\n{piece.text}\n"


_LOOK = """
:root { --ink: #23282d; --paper: #fdfcf8; --rule: #d9d6cd; --pencil: #6b7278; --blue: #1f5f8b; }
body { font: 16px/1.5 Georgia, "DejaVu Serif", serif; color: var(--ink); background: var(--paper); margin: 0 auto;
  max-width: 68rem; padding: 1rem 1.25rem 4rem; }
h1 { font-size: 1.8rem; margin: 1rem 0 .5rem; } h2 { font-size: 1.3rem; margin: 2.2rem 0 .6rem;
  border-top: 2px solid var(--ink); padding-top: .5rem; } h3 { font-size: 1.05rem; margin: 1.4rem 0 .4rem; }
nav { font: .9rem/1.7 Verdana, "DejaVu Sans", sans-serif; } nav a { margin-right: 1.1em; white-space: nowrap; }
a { color: var(--blue); } p, li { max-width: 46rem; }
.wide { overflow-x: auto; } table { border-collapse: collapse; font: .82rem/1.35 Verdana, "DejaVu Sans", sans-serif;
  margin: .6rem 0; } th, td { padding: .25rem .6rem; border-bottom: 1px solid var(--rule); vertical-align: top; }
th { text-align: left; color: var(--pencil); font-weight: 600; } td { font-variant-numeric: tabular-nums; }
td[style*="right"] { white-space: nowrap; }
figure { margin: .8rem 0; background: white; border: 1px solid var(--rule); padding: .5rem; overflow-x: auto; }
figure svg { width: 100%; height: auto; display: block; } code { font-size: .88em; }
details summary { cursor: pointer; } details { margin: .5rem 0; }
@media print { details { display: none; } }
"""


def html(title: str, opening: str, sections: Sequence[Section], language: str = "en-GB") -> str:
    """The report as one self-contained page: nothing is fetched from anywhere."""
    links = " ".join(f'<a href="#{item.anchor}">{_plain(item.title)}</a>' for item in sections)
    body = "".join(_html_section(item) for item in sections)
    return (
        f'<!doctype html>\n<html lang="{language}"><head><meta charset="utf-8"><title>{_plain(title)}</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<style>{_LOOK}</style></head><body><h1>{_plain(title)}</h1>{_rendered(opening)}<nav>{links}</nav>{body}"
        "</body></html>\n"
    )


def _html_section(section: Section) -> str:
    pieces = "".join(_shown(piece) for piece in section.pieces)
    return f'<h2 id="{section.anchor}">{_plain(section.title)}</h2>{pieces}'


def _shown(piece: Piece) -> str:
    if isinstance(piece, str):
        return _rendered(piece)
    if isinstance(piece, Folded):
        return f"<details><summary>{_plain(piece.summary)}</summary>{_rendered(piece.text)}</details>"
    return _drawn(piece)


def _drawn(picture: Picture) -> str:
    """The drawing itself; ids inside are made the picture's own, as a page may have each id only once."""
    svg = picture.svg[picture.svg.index("<svg") :]
    svg = re.sub(r'\bid="', f'id="{picture.name}-', svg)
    svg = re.sub(r'(href="#|url\(#)', rf"\g<1>{picture.name}-", svg)
    return f'<figure role="img" aria-label="{_plain(picture.alt)}">{svg}</figure>'


def _rendered(text: str) -> str:
    from markdown_it import MarkdownIt

    rendered = MarkdownIt("commonmark", {"html": False}).enable("table").render(text)
    return str(rendered).replace("<table>", '<div class="wide"><table>').replace("</table>", "</table></div>")


def _plain(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")

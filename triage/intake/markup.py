"""HTML mail to plain text: quoted blocks become ">" lines, signature blocks get their "-- " line."""

from __future__ import annotations

import re
from html import escape
from itertools import islice

from inscriptis import get_text
from inscriptis.css_profiles import CSS_PROFILES
from inscriptis.model.config import ParserConfig
from selectolax.lexbor import LexborHTMLParser, LexborNode

from triage.intake.flowed import SIGNATURE
from triage.intake.headers import guarded
from triage.intake.marks import FORWARD_MARK

_LONGEST = 2_000_000  # characters of HTML looked at; beyond lies no letter of a person
_MOST_TAGS = 10_000
_MOST_MARKS = 300  # quotes or signatures; an honest thread has a few dozen
_INVISIBLE = "script, style, head, title, template, noscript"
_QUOTE_BOXES = "[class*='_quote' i], [class*='quoted' i], [id*='quoted' i]"
_QUOTES = (
    "blockquote[type='cite' i], blockquote[class*='quote' i], blockquote[cite],"
    " [class*='_quote' i] blockquote, [class*='quoted' i] blockquote"
)
_SIGNATURES = "[class*='signature' i], [id*='signature' i]"
_CONFIG = ParserConfig(css=CSS_PROFILES["strict"])


def bounded(html: str) -> str:
    """The part of `html` that is looked at: a parser's time grows with the square of the nesting."""
    tags = re.finditer("<", html[:_LONGEST])
    last = next(islice(tags, _MOST_TAGS, None), None)
    return html[: last.start()] if last else html[:_LONGEST]


def html_text(html: str) -> str:
    """The visible text of an HTML mail, one paragraph a line, with its history marked as quoted."""
    tree = LexborHTMLParser(bounded(html))
    for node in tree.css(_INVISIBLE):
        node.decompose()
    _mark_signatures(tree)
    _mark_quotes(tree)
    return _text(tree.html or "")


def _text(html: str) -> str:
    """Layout by inscriptis; a document nested too deep for it comes as bare text."""
    if not html.strip():
        return ""
    text = guarded(lambda: get_text(html, _CONFIG), None)
    if not (text or "").strip():
        text = LexborHTMLParser(html).text(separator="\n")
    lines = _dedent(text or "").split("\n")
    return "\n".join(line if line == SIGNATURE else line.rstrip() for line in lines).strip("\n")


def _dedent(text: str) -> str:
    return re.sub(r"(?m)^ {1,3}(?=[^\s*•-])", "", text)


def _mark_quotes(tree: LexborHTMLParser) -> None:
    """Replace each outermost quote by preformatted text, so that its lines survive the layout."""
    for node in _outermost(_quote_nodes(tree)):
        text = _text(node.html or "")
        _replace(node, text if FORWARD_MARK.match(text.lstrip()) else _prefixed(text))


def _quote_nodes(tree: LexborHTMLParser) -> list[LexborNode]:
    """Blockquotes of history; a box without any is history itself (replies may stand between its quotes)."""
    boxes = [box for box in tree.css(_QUOTE_BOXES)[:_MOST_MARKS] if box.css_first("blockquote") in (None, box)]
    return tree.css(_QUOTES)[:_MOST_MARKS] + boxes


def _outermost(nodes: list[LexborNode]) -> list[LexborNode]:
    chosen = {node.mem_id: node for node in nodes if node.tag not in ("body", "html")}
    return [node for node in chosen.values() if not _has_parent_in(node, chosen)]


def _has_parent_in(node: LexborNode, chosen: dict[int, LexborNode]) -> bool:
    parent = node.parent
    while parent is not None:
        if parent.mem_id in chosen:
            return True
        parent = parent.parent
    return False


def _mark_signatures(tree: LexborHTMLParser) -> None:
    for node in _outermost(tree.css(_SIGNATURES)[:_MOST_MARKS]):
        text = _text(node.html or "")
        if text.strip() and not node.css_first("blockquote"):
            _replace(node, text if text.startswith("--") else f"{SIGNATURE}\n{text}")


def _replace(node: LexborNode, text: str) -> None:
    block = LexborHTMLParser(f"<pre>{escape(text)}</pre>").css_first("pre")
    if block is not None:
        node.replace_with(block)


def _prefixed(text: str) -> str:
    return "\n".join(f"> {line}".rstrip() for line in text.split("\n"))

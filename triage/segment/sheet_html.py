"""The run sheet as one HTML file to print or to read on a screen: no script, nothing fetched."""

from __future__ import annotations

from functools import lru_cache

from jinja2 import Environment, PackageLoader, StrictUndefined, Template

from triage.segment.paper import Paper
from triage.segment.sheet import Sheet


def as_html(sheet: Sheet, paper: Paper) -> str:
    """The sheet as a page; `paper` decides the size it prints on."""
    return _template().render(sheet=sheet, paper=paper)


@lru_cache(maxsize=1)
def _template() -> Template:
    loader = PackageLoader("triage.segment", "templates")
    environment = Environment(loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    return environment.get_template("sheet.html")

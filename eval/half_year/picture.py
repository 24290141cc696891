"""The half year's curves as one SVG: plain lines with a title each, readable in light and in dark."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape

from eval.half_year.weekly import Week

WIDTH, HEIGHT = 420, 200  # of a panel
LEFT, TOP, RIGHT, BOTTOM = 44, 34, 12, 28
STYLES = ("", ' stroke-dasharray="6 3"', ' stroke-dasharray="2 3"')
STYLE = """<style>
svg{background:#fdfaf1;color:#23211c}text{font:12px sans-serif;fill:currentColor}.head{font-weight:bold;font-size:13px}
.grid{stroke:#d6cdb6}.curve{fill:none;stroke:#1d4a7c;stroke-width:2}
@media(prefers-color-scheme:dark){svg{background:#182430;color:#ece6d8}.grid{stroke:#33424f}.curve{stroke:#93c3f0}}
</style>"""


@dataclass(frozen=True, slots=True)
class Curve:
    """A named line over the weeks; None leaves a week out."""

    name: str
    values: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class Panel:
    """Curves over the same axis from 0 to `top`."""

    title: str
    top: float
    curves: tuple[Curve, ...]
    percent: bool = False


def panels(weeks: Sequence[Week]) -> list[Panel]:
    """The six pictures of the report."""
    recall = [week.caught.recall for week in weeks]
    precision = [week.caught.precision for week in weeks]
    base, found = [float(week.base) for week in weeks], [float(week.found) for week in weeks]
    return [
        Panel(
            "Drafts that carry the right answer", 1.0,
            (Curve("all questions", tuple(w.served for w in weeks)),
             Curve("matters missing at the start", tuple(w.missing_served for w in weeks)),
             Curve("drafts with a wrong answer", tuple(w.misled for w in weeks))), percent=True,
        ),
        Panel("Matters found, of 30 missing at the start", 30.0, (Curve("found", tuple(found)),)),
        Panel("Answers in the base", 1.15 * max(base), (Curve("answers", tuple(base)),)),
        Panel("Sentences changed in a draft", 6.0, (Curve("changed", tuple(w.edits for w in weeks)),)),
        Panel("Staff minutes a question", 10.0, (Curve("minutes", tuple(w.minutes for w in weeks)),)),
        Panel("Contradictions pointed out, to date", 1.0,
              (Curve("of those planted", tuple(recall)), Curve("rightly so", tuple(precision))), percent=True),
    ]  # fmt: skip


def svg(weeks: Sequence[Week]) -> str:
    """The picture."""
    shown = panels(weeks)
    rows = (len(shown) + 1) // 2
    inner = "".join(
        f'<g transform="translate({n % 2 * WIDTH},{n // 2 * HEIGHT})">{"".join(_panel(panel))}</g>\n'
        for n, panel in enumerate(shown)
    )
    size = f'viewBox="0 0 {2 * WIDTH} {rows * HEIGHT}" width="{2 * WIDTH}" height="{rows * HEIGHT}"'
    says = "Six curves over the 26 weeks of a simulated half year; the figures stand in the report beside it."
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img"><title>{says}</title>{STYLE}\n{inner}</svg>\n'


def _panel(panel: Panel) -> Iterator[str]:
    yield f'<text class="head" x="{LEFT}" y="16">{escape(panel.title)}</text>'
    for step in range(5):
        value = panel.top * step / 4
        y = _y(value, panel.top)
        shown = f"{value:.0%}" if panel.percent else f"{value:.0f}" if panel.top >= 8 else f"{value:.1f}"
        yield f'<line class="grid" x1="{LEFT}" x2="{WIDTH - RIGHT}" y1="{y:.1f}" y2="{y:.1f}"/>'
        yield f'<text x="{LEFT - 6}" y="{y + 4:.1f}" text-anchor="end">{shown}</text>'
    count = len(panel.curves[0].values)
    for week in (1, *range(5, count + 1, 5)):
        yield f'<text x="{_x(week - 1, count):.1f}" y="{HEIGHT - 10}" text-anchor="middle">{week}</text>'
    for number, curve in enumerate(panel.curves):
        yield from _curve(curve, panel, number, count)


def _curve(curve: Curve, panel: Panel, number: int, count: int) -> Iterator[str]:
    points = [
        f"{_x(at, count):.1f},{_y(min(value, panel.top), panel.top):.1f}"
        for at, value in enumerate(curve.values)
        if value is not None
    ]
    yield f'<polyline class="curve"{STYLES[number]} points="{" ".join(points)}"/>'
    if len(panel.curves) > 1:
        y, x = TOP - 8, LEFT + number * 122
        yield f'<line class="curve"{STYLES[number]} x1="{x}" x2="{x + 18}" y1="{y}" y2="{y}"/>'
        fit = ' textLength="98" lengthAdjust="spacingAndGlyphs"'
        yield f'<text x="{x + 22}" y="{y + 4}"{fit}>{escape(curve.name)}</text>'


def _x(at: int, count: int) -> float:
    return LEFT + at * (WIDTH - LEFT - RIGHT) / max(1, count - 1)


def _y(value: float, top: float) -> float:
    return HEIGHT - BOTTOM - value / top * (HEIGHT - TOP - BOTTOM)

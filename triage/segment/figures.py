"""What a host likes to see of the weeks: questions by topic and season, waiting, said, settled. Pure counts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median

from triage.drawing import BarChart, bar_chart
from triage.segment.programme import Programme, Said, Spoken

MOST_TOPICS = 6
MOST_WEEKS = 13  # a season
MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()


@dataclass(frozen=True, slots=True)
class Asked:
    """One question for the figures: when it came, what it is about, how it stands."""

    thread: int
    day: date
    topic: str  # part of the cart
    waits_since: date | None = None  # None: nobody waits
    settled: bool = False


@dataclass(frozen=True, slots=True)
class Aired:
    """One programme with its notes."""

    programme: Programme
    notes: tuple[Said, ...]


def charts(asked: Sequence[Asked], hours: Sequence[Aired], today: date) -> tuple[BarChart, ...]:
    """Every chart that has something to show."""
    made = [*_by_week(asked), _by_month(asked), _waiting(asked, today), *_on_air(hours), _settled(asked, hours)]
    return tuple(chart for chart in made if chart and any(bar.height for bar in chart.bars))


def monday(day: date) -> date:
    """The Monday of a day's week."""
    return day - timedelta(days=day.weekday())


def _weeks(days: Iterable[date]) -> tuple[date, ...]:
    """The Mondays from the first day to the last, without a gap; the latest of them."""
    mondays = sorted({monday(day) for day in days})
    if not mondays:
        return ()
    count = (mondays[-1] - mondays[0]).days // 7 + 1
    return tuple(mondays[0] + timedelta(weeks=n) for n in range(count))[-MOST_WEEKS:]


def _told(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1]}"


def _by_week(asked: Sequence[Asked]) -> list[BarChart | None]:
    """All questions by week, then those of the topics most asked, each a chart of its own."""
    weeks = _weeks(one.day for one in asked)
    made = [_weekly("questions", "Questions by week", [one.day for one in asked], weeks)]
    topics = Counter(one.topic for one in asked if one.topic).most_common(MOST_TOPICS)
    for number, (topic, _) in enumerate(topics, start=1):
        days = [one.day for one in asked if one.topic == topic]
        made.append(_weekly(f"topic-{number}", f"{topic[:1].upper()}{topic[1:]} by week", days, weeks))
    return made


def _weekly(name: str, title: str, days: Sequence[date], weeks: Sequence[date]) -> BarChart | None:
    found = Counter(monday(day) for day in days)
    return bar_chart(name, title, [(_told(week), found[week]) for week in weeks]) if weeks else None


def _by_month(asked: Sequence[Asked]) -> BarChart | None:
    """Questions by month of the year, whatever the year: the season."""
    found = Counter(one.day.month for one in asked)
    rows = [(name, float(found[number])) for number, name in enumerate(MONTHS, start=1)]
    return bar_chart("season", "Questions by month of the year", rows) if asked else None


def _waiting(asked: Sequence[Asked], today: date) -> BarChart | None:
    """Those who wait now, by how long."""
    days = [(today - one.waits_since).days for one in asked if one.waits_since]
    steps = ((0, 3, "0-2 days"), (3, 8, "3-7"), (8, 15, "8-14"), (15, 29, "15-28"), (29, 10_000, "longer"))
    rows = [(name, float(sum(low <= one < high for one in days))) for low, high, name in steps]
    title = f"Waiting now, half of them {median(days):g} days or longer" if days else ""
    return bar_chart("waiting", title, rows) if days else None


def _on_air(hours: Sequence[Aired]) -> list[BarChart | None]:
    """Questions said, put off and asked live, programme by programme."""
    aired = [hour for hour in hours if hour.programme.aired][-MOST_WEEKS:]
    if not aired:
        return []
    kinds: tuple[tuple[str, str, Callable[[Said], bool]], ...] = (
        ("said", "Said on air, by programme", lambda note: bool(note.thread) and note.how is not Spoken.POSTPONED),
        ("put-off", "Put off, by programme", lambda note: bool(note.thread) and note.how is Spoken.POSTPONED),
        ("live", "Live questions, by programme", lambda note: not note.thread),
    )
    return [
        bar_chart(name, title, [(_told(hour.programme.day), float(sum(map(counts, hour.notes)))) for hour in aired])
        for name, title, counts in kinds
    ]


def _settled(asked: Sequence[Asked], hours: Sequence[Aired]) -> BarChart | None:
    """Of the questions said on air, how many are settled by now, programme by programme."""
    done = {one.thread for one in asked if one.settled}
    rows = []
    for hour in [one for one in hours if one.programme.aired][-MOST_WEEKS:]:
        said = {note.thread for note in hour.notes if note.thread and note.how is not Spoken.POSTPONED}
        rows.append((_told(hour.programme.day), float(len(said & done))))
    return bar_chart("settled", "Of those said on air, settled by now", rows) if rows else None

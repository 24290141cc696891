"""Three demo weeks in a row, chosen exactly, greedily and newest first: what the programmes are worth, how varied.

    python -m eval.segment_weeks [STORE]

STORE is a queue that took the demo mailbox in; without it, one is made. In each week the host locks the best spare of
the week before and takes the second out, and the last question of each hour is not reached.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import combinations
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from eval.bench_demo import NOW, ROOT, demo_office
from triage.pack import Pack, load
from triage.producer import Choosing, close, plan
from triage.segment.choosing import EPSILON, Wishes, choose, may_be_on
from triage.segment.programme import Candidate, Programme, Said, Spoken, Wish
from triage.segment.worth import Weights, cost_of_pair, system_key, total, worth
from triage.store import Store

FIRST, WEEKS = date(2026, 11, 26), 3
WEIGHTS = Weights()


def greedy(candidates: Sequence[Candidate], minutes: float, wishes: Wishes) -> list[Candidate]:
    """Always the question that adds most to what is on, as long as one fits and adds something."""
    chosen = [one for one in candidates if one.thread in wishes.locked]
    while True:
        gains = [(_gain(one, chosen), one) for one in _fitting(candidates, chosen, minutes, wishes)]
        best = max(gains, key=lambda pair: pair[0], default=(0.0, None))
        if best[1] is None or best[0] <= 0:
            return chosen
        chosen.append(best[1])


def newest_first(candidates: Sequence[Candidate], minutes: float, wishes: Wishes) -> list[Candidate]:
    """The questions as they came in, the newest first, as many as fit."""
    chosen = [one for one in candidates if one.thread in wishes.locked]
    for one in sorted(candidates, key=lambda one: (one.waiting_days, -one.thread)):
        if one in _fitting(candidates, chosen, minutes, wishes):
            chosen.append(one)
    return chosen


def _fitting(
    candidates: Sequence[Candidate], chosen: Sequence[Candidate], minutes: float, wishes: Wishes
) -> Iterator[Candidate]:
    left = minutes - sum(one.minutes for one in chosen)
    topics = {one.topic for one in chosen}
    for one in candidates:
        if one not in chosen and one.topic not in topics and one.minutes <= left + EPSILON and may_be_on(one, wishes):
            yield one


def _gain(one: Candidate, chosen: Sequence[Candidate]) -> float:
    return worth(one, WEIGHTS) - sum(cost_of_pair(one, other, WEIGHTS) for other in chosen)


WAYS: dict[str, Choosing] = {"exact": choose, "greedy": greedy, "newest first": newest_first}


@dataclass(frozen=True, slots=True)
class Week:
    """One programme with what it came to."""

    programme: Programme
    repeats: int  # questions whose matter was said in an earlier week
    seconds: float

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """The questions on the sheet."""
        return tuple(slot.candidate for slot in self.programme.slots)


def three_weeks(store: Store, pack: Pack, choosing: Choosing) -> Iterator[Week]:
    """Wish, plan, say and close, three times."""
    said: set[str] = set()
    spares: Sequence[Candidate] = ()
    for number in range(WEEKS):
        day = FIRST + timedelta(weeks=number)
        for one, wish in zip(spares, (Wish.LOCK, Wish.VETO), strict=False):
            store.programmes.wish(day, one.thread, wish, by="eval")
        start = perf_counter()
        programme = plan(store, pack, day, by="eval", choosing=choosing)
        took = perf_counter() - start
        topics = [slot.candidate.topic for slot in programme.slots]
        yield Week(programme, sum(topic in said for topic in topics), took)
        for slot in programme.slots[:-1]:
            store.programmes.say(Said(day, slot.candidate.thread, Spoken.SAID), by="eval")
            said.add(slot.candidate.topic)
        spares = programme.spares
        close(store, day, by="eval")


COLUMNS: dict[str, Callable[[Week], str]] = {
    "questions": lambda week: f"{len(week.candidates)}",
    "minutes": lambda week: f"{sum(one.minutes for one in week.candidates):.1f}",
    "value": lambda week: f"{total(week.candidates, WEIGHTS):.1f}",
    "askers": lambda week: f"{sum(one.same for one in week.candidates)}",
    "answered": lambda week: f"{sum(one.answerable for one in week.candidates)}",
    "vehicles": lambda week: f"{len({one.vehicle for one in week.candidates})}",
    "parts": lambda week: f"{len({system_key(one) for one in week.candidates})}",
    "alike": lambda week: f"{sum(_alike(a, b) for a, b in combinations(week.candidates, 2))}",
    "repeats": lambda week: f"{week.repeats}",
    "carried": lambda week: f"{sum(one.carried for one in week.candidates)}",
    "locked": lambda week: f"{sum(slot.locked for slot in week.programme.slots)}",
    "s": lambda week: f"{week.seconds:.1f}",
}


def _alike(one: Candidate, other: Candidate) -> bool:
    """True for two questions about one vehicle or one part."""
    return cost_of_pair(one, other, WEIGHTS) >= WEIGHTS.same_vehicle


def table(results: dict[str, list[Week]]) -> Iterator[str]:
    """A line for each week and way, then the value of all weeks."""
    yield f"{'way':13}{'day':12}" + "".join(f"{name:>10}" for name in COLUMNS)
    for way, weeks in results.items():
        for week in weeks:
            cells = "".join(f"{show(week):>10}" for show in COLUMNS.values())
            yield f"{way:13}{week.programme.day!s:12}{cells}"
    for way, weeks in results.items():
        yield f"{way}: {sum(total(week.candidates, WEIGHTS) for week in weeks):.1f} points in {len(weeks)} weeks"


def main(arguments: Sequence[str]) -> None:
    """Print the table."""
    pack = load(ROOT / "knowledge")
    with TemporaryDirectory() as folder:
        demo = Path(arguments[0]) if arguments else demo_office(Path(folder)).settings.store
        results = {}
        for way, choosing in WAYS.items():
            copy = shutil.copy(demo, Path(folder) / f"{way}.db")
            with Store.open(copy, now=lambda: NOW) as store:
                results[way] = list(three_weeks(store, pack, choosing))
    print("\n".join(table(results)))


if __name__ == "__main__":
    main(sys.argv[1:])

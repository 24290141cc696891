"""Threads to candidates: what each question is about, what it is worth, whether it may be said, how long it takes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from triage.segment.asked import Asked, Week
from triage.segment.essentials import essentials_of
from triage.segment.fitness import is_solved, reasons_against, reasons_to_look
from triage.segment.matter import Matter, has_answer, matter_of
from triage.segment.programme import Candidate, Essentials
from triage.segment.retold import own_words, retold
from triage.segment.seasons import season_of

TURN_SECONDS = 30.0  # between two questions: the asker's own words, a word of the host's. From memory
REST_DAYS = 56  # a matter said less than eight weeks ago is not said again
SOLVED = "the asker says that it is solved"


def candidates_of(asked: Sequence[Asked], week: Week) -> tuple[Candidate, ...]:
    """A candidate for each thread, in the order given."""
    matters = {one.thread: matter_of(one.thread, one.reading, week.pack) for one in asked}
    same = _askers(asked, matters)
    return tuple(
        _candidate(one, matters[one.thread], max(1, len(same[matters[one.thread].topic])), week) for one in asked
    )


def _askers(asked: Iterable[Asked], matters: dict[int, Matter]) -> dict[str, set[str]]:
    """Who asks each matter: one who asks twice counts once."""
    found: dict[str, set[str]] = defaultdict(set)
    for one in asked:
        if matters[one.thread].plain:
            found[matters[one.thread].topic].add(one.asker or f"thread {one.thread}")
    return found


def _candidate(asked: Asked, matter: Matter, same: int, week: Week) -> Candidate:
    season, seasons = season_of(asked.reading, week.day, week.pack)
    made = Candidate(
        thread=asked.thread,
        retold=retold(asked, week),
        words=own_words(asked),
        asker=asked.name,
        agreed=asked.agreed,
        waiting_days=asked.waiting_days if asked.waits else 0,
        same=same,
        topic=matter.topic,
        about=matter.about,
        vehicle=matter.vehicle,
        system=matter.system,
        depth=matter.depth,
        answerable=has_answer(asked.reading, week.pack),
        sure=asked.reading.matches[0].probability if asked.reading.matches else 0.0,
        season=season,
        puzzle=matter.puzzle,
        seasons=seasons,
        carried=asked.postponed,
        aired=_aired(asked, matter, week),
        unsafe=reasons_against(asked, week.pack),
        held=_to_look_at(asked, week),
        essentials=essentials_of(asked, week),
    )
    return replace(made, minutes=minutes_of(made, week))


def _aired(asked: Asked, matter: Matter, week: Week) -> tuple[date, ...]:
    """The programmes that keep it out: its matter was said lately, or this very question was said ever."""
    lately = [day for day in week.aired.get(matter.topic, ()) if (week.day - day).days < REST_DAYS]
    return tuple(sorted({*lately, *asked.said_on}))


def _to_look_at(asked: Asked, week: Week) -> tuple[str, ...]:
    reasons = reasons_to_look(asked, week.pack)
    return (*reasons, SOLVED) if is_solved(asked, week.pack) else reasons


def script(candidate: Candidate, say: Callable[[str], str]) -> str:
    """All that is said of a question, in order, in words to be spoken."""
    return " ".join(say(part) for part in (candidate.question, *spoken_parts(candidate.essentials)))


def spoken_parts(needed: Essentials) -> Iterator[str]:
    """What follows the question: safety, the answer, else causes and checks; what the asker is asked for."""
    yield from needed.safety
    if needed.answer:
        yield from needed.answer
    else:
        yield from needed.causes
        yield from needed.checks
    yield from (missing.ask for missing in needed.missing if missing.ask)


def minutes_of(candidate: Candidate, week: Week) -> float:
    """Minutes on air, the turn to the next question included."""
    return round((week.seconds(script(candidate, week.say)) + TURN_SECONDS) / 60, 2)

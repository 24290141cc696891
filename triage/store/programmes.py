"""The weekly programmes: what the host wishes, what was planned, what was said; who agreed to be named."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from pydantic import TypeAdapter
from sqlite_utils import Database

from triage.segment.programme import Candidate, LeftOut, Programme, Said, Slot, Spoken, Tip, Wish
from triage.store.codec import encodable, moment, to_json
from triage.store.errors import NotFound, StoreError
from triage.store.section import Section
from triage.store.threads import present_number
from triage.store.values import What

_CANDIDATE = TypeAdapter(Candidate)
_TIP = TypeAdapter(Tip | None)
_ROWS = """
    select p.candidate, p.place, p.minutes, p.locked, p.spare, p.reason, coalesce(t.merged_into, t.id), n.yes
    from programme_questions p join threads t on t.id = p.thread
    left join names_agreed n on n.thread = coalesce(t.merged_into, t.id)
    where p.day = ? order by p.place, p.row
"""


class Aired(StoreError):
    """The programme was on air: it stays as it was."""


@dataclass(frozen=True, slots=True)
class Wished:
    """What the host wants of a question on one day."""

    wish: Wish
    why: str = ""


class Programmes(Section):
    """The programmes of one store, by their day. Nothing of one that was aired can be changed."""

    # What was planned

    def keep(self, programme: Programme, *, by: str) -> None:
        """Keep a plan in the place of an earlier one of that day. Raises Aired."""
        with self._change(by) as change:
            _check_open(change.db, programme.day)
            day = programme.day.isoformat()
            change.db.execute("delete from programme_questions where day = ?", [day])
            change.db.execute(
                """insert into programmes (day, minutes, reserve, opening, tip, closing, worth, note, by, at)
                   values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?) on conflict (day) do update set minutes = excluded.minutes,
                   reserve = excluded.reserve, opening = excluded.opening, tip = excluded.tip,
                   closing = excluded.closing, worth = excluded.worth, note = excluded.note,
                   by = excluded.by, at = excluded.at""",
                [*_head(programme), encodable(change.by), change.at],
            )
            for row in _question_rows(programme):
                change.insert("programme_questions", {"day": day, **row})
            threads = [slot.candidate.thread for slot in programme.slots]
            change.record(None, What.PROGRAMME, after={"day": day, "planned": threads})

    def find(self, day: date) -> Programme | None:
        """The programme of a day."""
        with self._look() as db:
            return _load(db, day.isoformat())

    def get(self, day: date) -> Programme:
        """The programme of a day. Raises NotFound, naming the days there are."""
        found = self.find(day)
        if found is None:
            days = ", ".join(one.isoformat() for one in self.days()) or "none yet"
            raise NotFound(f"There is no programme of {day}. Days planned: {days}.")
        return found

    def days(self) -> tuple[date, ...]:
        """The days that have a programme, oldest first."""
        with self._look() as db:
            return tuple(date.fromisoformat(day) for (day,) in db.execute("select day from programmes order by day"))

    def weeks(self) -> tuple[Programme, ...]:
        """Every programme kept, oldest first."""
        return tuple(self.get(day) for day in self.days())

    # What the host wishes

    def wish(self, day: date, thread_id: int, wish: Wish | None, *, by: str, why: str = "") -> None:
        """Lock or veto a question for a day; None takes the wish back. Raises Aired, NotFound."""
        with self._change(by) as change:
            _check_open(change.db, day)
            thread = present_number(change.db, thread_id)
            row = [day.isoformat(), thread]
            change.db.execute("delete from programme_wishes where day = ? and thread = ?", row)
            if wish is not None:
                change.signed(
                    "programme_wishes", {"day": day.isoformat(), "thread": thread, "wish": wish.value, "why": why}
                )
            after = {"day": row[0], "wish": wish.value if wish else "none", "why": why}
            change.record(thread, What.PROGRAMME, after=after)

    def wishes(self, day: date) -> dict[int, Wished]:
        """The locks and vetoes of a day, by thread."""
        sql = """select coalesce(t.merged_into, t.id), w.wish, w.why
                 from programme_wishes w join threads t on t.id = w.thread where w.day = ? order by w.row"""
        with self._look() as db:
            return {row[0]: Wished(Wish(row[1]), row[2]) for row in db.execute(sql, [day.isoformat()])}

    def agree(self, thread_id: int, yes: bool, *, by: str) -> None:
        """Keep whether the asker of a thread may be called by the first name on air."""
        with self._change(by) as change:
            thread = present_number(change.db, thread_id)
            change.db.execute("delete from names_agreed where thread = ?", [thread])
            change.signed("names_agreed", {"thread": thread, "yes": int(yes)})
            change.record(thread, What.PROGRAMME, after={"name agreed": "yes" if yes else "no"})

    def agreed(self) -> frozenset[int]:
        """Threads whose askers may be named; nobody else may."""
        sql = "select coalesce(t.merged_into, t.id) from names_agreed n join threads t on t.id = n.thread where n.yes"
        with self._look() as db:
            return frozenset(thread for (thread,) in db.execute(sql))

    # What was said

    def say(self, said: Said, *, by: str) -> None:
        """Note what became of a question, or a live question (thread 0). Raises Aired, NotFound."""
        with self._change(by) as change:
            _check_open(change.db, said.day)
            thread = present_number(change.db, said.thread) if said.thread else None
            change.signed("programme_said", {
                "day": said.day.isoformat(), "thread": thread, "how": said.how.value, "note": said.note,
                "words": said.words, "seconds": str(said.seconds),
            })  # fmt: skip
            change.record(thread, What.PROGRAMME, after={"day": said.day.isoformat(), "on air": said.how.value})

    def said(self, day: date) -> tuple[Said, ...]:
        """The last note on each question of the day, then the live questions, in the order they were noted."""
        sql = """select s.day, coalesce(t.merged_into, t.id, 0), s.how, s.note, s.words, s.seconds, s.by, s.at
                 from programme_said s left join threads t on t.id = s.thread where s.day = ? order by s.row"""
        with self._look() as db:
            notes = [_said(*row) for row in db.execute(sql, [day.isoformat()])]
        latest = {note.thread: note for note in notes if note.thread}
        return (*latest.values(), *(note for note in notes if not note.thread))

    def close(self, day: date, *, by: str) -> None:
        """The programme was on air: from now on it is kept as it is. Raises NotFound, Aired."""
        self.get(day)
        with self._change(by) as change:
            _check_open(change.db, day)
            change.db.execute("update programmes set aired = 1 where day = ?", [day.isoformat()])
            change.record(None, What.PROGRAMME, after={"day": day.isoformat(), "aired": True})

    # The live page's own place in the hour

    def keep_clock(self, day: date, clock: str, *, by: str) -> None:
        """Keep the live page's state (a text of its own) as it is now; no history of it is kept."""
        with self._change(by) as change:
            change.db.execute("update programmes set clock = ? where day = ?", [encodable(clock), day.isoformat()])

    def clock(self, day: date) -> str:
        """What `keep_clock` kept; "" before the hour."""
        with self._look() as db:
            row = db.execute("select clock from programmes where day = ?", [day.isoformat()]).fetchone()
        return str(row[0]) if row else ""


def _check_open(db: Database, day: date) -> None:
    row = db.execute("select aired from programmes where day = ?", [day.isoformat()]).fetchone()
    if row and row[0]:
        raise Aired(f"The programme of {day} was on air and stays as it was. Give the day of one still to come.")


def _head(programme: Programme) -> list[Any]:
    tip = _TIP.dump_json(programme.tip).decode()
    return [
        programme.day.isoformat(), programme.minutes, programme.reserve, programme.opening, tip, programme.closing,
        programme.worth, programme.note,
    ]  # fmt: skip


def _question_rows(programme: Programme) -> Iterator[dict[str, str | int | bytes | None]]:
    for slot in programme.slots:
        yield _row(slot.candidate, slot.reason, str(slot.minutes), place=slot.place, locked=int(slot.locked))
    for left in programme.left_out:
        yield _row(left.candidate, left.reason, str(left.candidate.minutes), spare=int(left.spare))


def _row(candidate: Candidate, reason: str, minutes: str, **more: int) -> dict[str, str | int | bytes | None]:
    kept = to_json(_CANDIDATE.dump_python(candidate, mode="json"))
    return {"thread": candidate.thread, "candidate": kept, "reason": reason, "minutes": minutes, **more}


def _load(db: Database, day: str) -> Programme | None:
    sql = "select minutes, reserve, opening, tip, closing, worth, note, aired from programmes where day = ?"
    row = db.execute(sql, [day]).fetchone()
    if row is None:
        return None
    slots: list[Slot] = []
    left: list[LeftOut] = []
    for kept, place, minutes, locked, spare, reason, thread, agreed in db.execute(_ROWS, [day]):
        candidate = replace(_CANDIDATE.validate_json(kept), thread=thread, agreed=bool(agreed))
        if place:
            slots.append(Slot(candidate, place, float(minutes), bool(locked), reason))
        else:
            left.append(LeftOut(candidate, reason, bool(spare)))
    minutes, reserve, opening, tip, closing, worth, note, aired = row
    return Programme(
        date.fromisoformat(day), minutes, reserve, tuple(slots), tuple(left), opening, _TIP.validate_json(tip),
        closing, worth, bool(aired), note,
    )  # fmt: skip


def _said(day: str, thread: int, how: str, note: str, words: str, seconds: float, by: str, at: str) -> Said:
    return Said(date.fromisoformat(day), thread, Spoken(how), note, words, float(seconds), by, moment(at))

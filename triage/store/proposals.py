"""Proposals for the answer base, where each sentence was said, and which threads were looked at for them."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from typing import Any

from pydantic import TypeAdapter
from sqlite_utils import Database

from triage.growth.proposal import Kind, Line, Origin, Proposal, Said, State
from triage.model import Span
from triage.pack.schema import Answer
from triage.store.change import Cell, Change
from triage.store.codec import to_json
from triage.store.errors import NotFound
from triage.store.section import Section
from triage.store.threads import present_number
from triage.store.values import What

_ANSWERS = TypeAdapter(list[Answer])


class Proposals(Section):
    """The proposals of one store. What somebody said lies in rows of its thread, and is forgotten with it."""

    def keep(self, proposal: Proposal, *, by: str) -> int:
        """Keep a new proposal; its number."""
        with self._change(by) as change:
            number = change.signed("proposals", _row(proposal))
            _put_belongings(change, number, proposal)
            change.record(None, What.PROPOSAL, after={"proposal": number, "kind": proposal.kind.value})
            return number

    def replace(self, proposal: Proposal, *, by: str, why: str = "") -> None:
        """Put another text, state or range in the place of the one kept under its number. Raises NotFound."""
        with self._change(by) as change:
            before = _load(change.db, proposal.id)
            row = _row(proposal)
            sets = ", ".join(f"{name} = ?" for name in row)
            change.db.execute(f"update proposals set {sets} where id = ?", [*row.values(), proposal.id])
            for table in ("proposal_said", "proposal_threads"):
                change.db.execute(f"delete from {table} where proposal = ?", [proposal.id])
            _put_belongings(change, proposal.id, proposal)
            told = {"proposal": proposal.id, "state": proposal.state.value, "why": why}
            change.record(None, What.PROPOSAL, before={"state": before.state.value}, after=told)

    def get(self, number: int) -> Proposal:
        """One proposal. Raises NotFound."""
        with self._look() as db:
            return _load(db, number)

    def all(self, *states: State) -> list[Proposal]:
        """The proposals in these states (of every state, when none is given): most askers first, then the oldest."""
        wanted = [state.value for state in states or tuple(State)]
        sql = f"select id from proposals where state in ({', '.join('?' * len(wanted))}) order by askers desc, id"
        with self._look() as db:
            return [_load(db, number) for (number,) in db.execute(sql, wanted).fetchall()]

    def looked_at(self) -> dict[int, int]:
        """Thread -> how many replies it had when it was looked at for proposals."""
        with self._look() as db:
            return dict(db.execute("select thread, replies from proposals_looked_at").fetchall())

    def mark_looked_at(self, threads: Iterable[tuple[int, int]], *, by: str) -> None:
        """Keep that these threads, with so many replies, were looked at."""
        sql = """insert into proposals_looked_at values (?, ?)
                 on conflict (thread) do update set replies = excluded.replies"""
        with self._change(by) as change:
            for thread, replies in threads:
                change.db.execute(sql, [present_number(change.db, thread), replies])

    def note_cause(self, text: str, *, by: str) -> None:
        """Keep in the history that a cause was confirmed or taken back; the cases stand in the shop's own file."""
        with self._change(by) as change:
            change.record(None, What.PROPOSAL, after={"cause": text})


def _row(proposal: Proposal) -> dict[str, Cell]:
    return {
        "kind": proposal.kind.value,
        "state": proposal.state.value,
        "before": _answers_text(proposal.before),
        "after": _answers_text(proposal.after),
        "lines": to_json([line.text for line in proposal.lines]),
        "askers": proposal.askers,
        "authors": to_json(proposal.authors),
        "hazards": to_json(proposal.hazards),
        "made": proposal.made.isoformat(),
        "reason": proposal.reason,
        "agreed": to_json(proposal.agreed),
    }


def _answers_text(answers: Iterable[Answer]) -> str:
    return _ANSWERS.dump_json(list(answers)).decode()


def _put_belongings(change: Change, number: int, proposal: Proposal) -> None:
    for place, line in enumerate(proposal.lines):
        for said in line.said:
            change.insert("proposal_said", {"proposal": number, "line": place, **_said_row(said)})
    for thread in proposal.threads:
        change.insert("proposal_threads", {"proposal": number, "thread": thread})


def _said_row(said: Said) -> dict[str, Cell]:
    return {
        "thread": said.thread or None,
        "origin": said.origin.value,
        "place": said.place,
        "first": said.span.start if said.span else None,
        "last": said.span.end if said.span else None,
        "text": said.text,
    }


def _load(db: Database, number: int) -> Proposal:
    rows = list(db.query("select * from proposals where id = ?", [number]))
    if not rows:
        raise NotFound(f"There is no proposal {number}. Those there are: triage grow look --all")
    row = rows[0]
    threads = db.execute("select thread from proposal_threads where proposal = ? order by row", [number]).fetchall()
    lines = [Line(text) for text in json.loads(row["lines"])]
    for place, said in _said_of(db, number):
        lines[place] = replace(lines[place], said=(*lines[place].said, said))
    return Proposal(
        number,
        Kind(row["kind"]),
        tuple(_ANSWERS.validate_json(row["before"])),
        tuple(_ANSWERS.validate_json(row["after"])),
        tuple(lines),
        tuple(thread for (thread,) in threads),
        row["askers"],
        tuple(json.loads(row["authors"])),
        tuple(json.loads(row["hazards"])),
        date.fromisoformat(row["made"]),
        State(row["state"]),
        row["reason"],
        tuple(json.loads(row["agreed"])),
    )


def _said_of(db: Database, number: int) -> Iterator[tuple[int, Said]]:
    sql = "select * from proposal_said where proposal = ? order by row"
    for row in db.query(sql, [number]):
        yield row["line"], Said(Origin(row["origin"]), row["text"], row["thread"] or 0, row["place"], _span(row))


def _span(row: dict[str, Any]) -> Span | None:
    return None if row["first"] is None else Span(row["first"], row["last"])

"""What the same asker wrote or rang about before, and what is known of the same vehicle."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from sqlite_utils import Database

from triage.intake.signatures import is_sign_off
from triage.model import Fact
from triage.store import facts, messages, readings
from triage.store.codec import moment
from triage.store.states import ThreadState
from triage.store.values import Prior, Same, Summary

MOST = 50  # of a club that writes every week, the latest

_WRITER = """
    select sender_email, sender_name, headers, channel, signature from messages
    where thread = ? and automatic = '' order by at, row limit 1
"""
# each part by an index of its own
_OF_ASKER = """
    select thread from messages where sender_email = :email and sender_email != ''
    union select thread from messages where json_extract(headers, '$.reply_to.email') = :email
    union select id from threads where asker = (select asker from threads where id = :thread) and :email = ''
"""
_OF_SERIAL = """
    select thread from facts where name = 'serial'
      and value in (select value from facts where thread = :thread and +name = 'serial')
"""
_EARLIER = f"""
    select e.id, e.state, e.opened_at, e.vehicle, e.wrong, e.missing, e.outcome from threads e, threads t
    where t.id = :thread and e.id != t.id and e.merged_into is null and e.state != 'automatic'
      and (e.opened_at, e.id) < (t.opened_at, t.id) and e.id in ({_OF_ASKER} union {_OF_SERIAL})
    order by e.opened_at desc, e.id desc limit :most
"""
_VEHICLES = """
    select mk.value, md.value, y.value from facts mk
    join facts md on md.thread = mk.thread and md.vehicle = mk.vehicle and md.name = 'model'
    join facts y on y.thread = mk.thread and y.vehicle = mk.vehicle and y.name = 'year'
    where mk.thread = ? and mk.name = 'make'
"""


@dataclass(frozen=True, slots=True)
class Writer:
    """Who wrote first on a thread, as far as the message tells."""

    email: str  # where answers go; "" for somebody who rang
    number: str  # digits of the number rang from
    name: str  # of the person who signs, else of the address
    channel: str


def prior(db: Database, thread: int) -> tuple[Prior, ...]:
    """Threads opened before this one by the same asker, or about the same vehicle; the newest first."""
    here = writer_of(db, thread)
    if here is None:
        return ()
    rows = db.execute(_EARLIER, {"thread": thread, "email": here.email, "most": MOST}).fetchall()
    found = ((row, writer_of(db, row[0])) for row in rows)
    alike = ((row, writer, _same(db, thread, here, row[0], writer)) for row, writer in found if writer)
    return tuple(_prior(db, row, writer, same) for row, writer, same in alike if same)


def writer_of(db: Database, thread: int) -> Writer | None:
    """The person who wrote the thread's first message; None when a person wrote none."""
    row = db.execute(_WRITER, [thread]).fetchone()
    if row is None:
        return None
    email, name, headers, channel, signature = row
    told = json.loads(headers)
    answers_to = told["reply_to"] or {"email": email, "name": name}  # a web form writes for somebody
    display = answers_to["name"] or name
    return Writer(answers_to["email"].lower(), _number(told["notes"]), _person(display, signature), channel)


def _number(notes: Iterable[str]) -> str:
    """The number in the remark of a phone note."""
    rang = next((note for note in notes if note.startswith("rang from ")), "")
    return re.sub(r"\D", "", rang)


def _person(display: str, signature: str) -> str:
    """Who writes: the display name, unless the mail is signed by somebody else of the house."""
    signed = _signed(signature)
    return display if _may_be_one(display, signed) else signed


def _signed(signature: str) -> str:
    """The name under a mail: "Ida" of "Many thanks, Ida" or of "Cheers" and "Ida" below it; "" where none is plain."""
    closed = False
    for line in filter(None, (line.strip(" -–—~/.!") for line in signature.splitlines())):
        if is_sign_off(line):
            closed, name = True, line.partition(",")[2].strip()
            if name:
                return name
            continue
        plain = re.fullmatch(r"[^\W\d_]{2,}(?:[ -][^\W\d_]+){0,2}", line) and not re.fullmatch(r"[A-Z]{2,3}", line)
        return line if plain and (closed or line.istitle()) else ""
    return ""


def _same(db: Database, thread: int, here: Writer, other: int, there: Writer) -> tuple[Same, ...]:
    asker = is_same_person(here, there)
    known = (Same.ASKER,) if asker else (Same.ADDRESS,) if here.email and here.email == there.email else ()
    vehicle = _shared(db, "select value from facts where thread = ? and name = 'serial'", thread, other)
    vehicle = vehicle or (asker and _shared(db, _VEHICLES, thread, other))
    return (*known, Same.VEHICLE) if vehicle else known


def _shared(db: Database, sql: str, *threads: int) -> bool:
    one, two = (set(db.execute(sql, [thread]).fetchall()) for thread in threads)
    return bool(one & two)


def is_same_person(one: Writer, two: Writer) -> bool:
    """The same address without two names that differ; without addresses, the same name and number."""
    reached = one.email == two.email if one.email or two.email else bool(one.number) and one.number == two.number
    return reached and _may_be_one(one.name, two.name)


def _may_be_one(one: str, two: str) -> bool:
    """False for two names of which each has a word that the other lacks; an initial stands for its name."""
    a, b = (re.findall(r"[^\W\d_]+", name.casefold()) for name in (one, two))
    return _within(a, b) or _within(b, a)


def _within(few: list[str], many: list[str]) -> bool:
    return all(any(_word_is(word, other) for other in many) for word in few)


def _word_is(word: str, other: str) -> bool:
    return word == other or (min(len(word), len(other)) == 1 and word[0] == other[0])


def _prior(db: Database, row: tuple[str, ...], writer: Writer, same: tuple[Same, ...]) -> Prior:
    number, state, opened_at, vehicle, wrong, missing, outcome = row
    thread, state = int(number), ThreadState(state)
    ids = tuple(message.id for message in messages.of_thread(db, thread) if not message.automatic)
    return Prior(
        thread=thread,
        when=moment(opened_at),
        state=state,
        summary=Summary(vehicle, wrong, tuple(json.loads(missing))),
        outcome=outcome if state == ThreadState.SETTLED else "",
        facts=_known(db, thread, ids),
        same=same,
        channel=writer.channel,
        messages=ids,
    )


def _known(db: Database, thread: int, ids: tuple[str, ...]) -> tuple[Fact, ...]:
    """What was read at last, each fact once, and what a person set in place of it."""
    asked = {question.id: question.message for question in messages.questions_of_thread(db, thread)}
    given = facts.standing_facts(db, thread)
    replaced = {(fact.vehicle, fact.name) for fact in given}
    read = [
        replace(fact, message=fact.message or asked.get(saved.reading.id, ""))
        for saved in readings.of_thread(db, thread)
        for fact in saved.reading.facts
        if (fact.vehicle, fact.name) not in replaced
    ]
    last = ids[-1] if ids else ""
    return tuple(dict.fromkeys((*read, *(replace(fact, message=last) for fact in given))))

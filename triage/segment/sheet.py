"""The run sheet, before it is laid on paper or screen: pages of labelled blocks, in the order they are needed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from triage.segment.clock import ClockRow, Item
from triage.segment.programme import Candidate, Programme, Slot

MOST_SPARES = 2  # given a page each; more would not be found in the hour


class Look(StrEnum):
    """How a block is to be read."""

    SAY = "say"  # aloud, word by word
    WARN = "warn"  # aloud, and not to be left out
    WORDS = "words"  # the asker's own, for the host
    NOTE = "note"  # for the host
    GAP = "gap"  # for the host, and not to be overlooked
    NUMBER = "number"  # to have ready


@dataclass(frozen=True, slots=True)
class Block:
    """One labelled part of a page."""

    label: str
    look: Look
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """One page: what it is, when it comes, and its blocks."""

    mark: str  # "3", "spare", "opening"
    title: str
    when: str  # "at 7:30, for 2 minutes"
    blocks: tuple[Block, ...]
    clock: tuple[str, ...] = ()  # what to do when it is reached late, or early


@dataclass(frozen=True, slots=True)
class Sheet:
    """The whole run sheet."""

    title: str  # "The Thursday Workshop Hour, 26 November 2026"
    shop: str
    pages: tuple[Page, ...]


def sheet_of(
    programme: Programme, shop: str, segment: str, say: Callable[[str], str], rows: Sequence[ClockRow]
) -> Sheet:
    """The sheet of a programme: overview and opening, a page a question, closing, then the spares.

    `rows` are the programme's clock plan.
    """
    at = {row.thread: row for row in rows if row.item is Item.QUESTION}
    day = f"{programme.day.day} {programme.day:%B %Y}"
    pages = [_first(programme, at)]
    pages += [_question(slot, at[slot.candidate.thread], programme, say) for slot in programme.slots]
    pages.append(_last(programme, rows))
    spares = programme.spares[:MOST_SPARES]
    pages += [_spare(one, number, say) for number, one in enumerate(spares, start=1)]
    return Sheet(f"{segment}, {day}", shop, tuple(pages))


def clock(seconds: float) -> str:
    """Minutes and seconds into the hour.

    >>> clock(754.4)
    '12:34'
    """
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02}"


def _first(programme: Programme, at: Mapping[int, ClockRow]) -> Page:
    plan = tuple(
        f"{clock(at[slot.candidate.thread].start):\u2007>5}\u2003{slot.place}. {_headline(slot.candidate)}"
        for slot in programme.slots
    )
    tip = (Block("safety tip", Look.WARN, (programme.tip.text,)),) if programme.tip else ()
    blocks = (Block("say", Look.SAY, (programme.opening,)), *tip, Block("the hour", Look.NOTE, plan))
    return Page("", "Opening", f"{programme.minutes:g} minutes, {programme.reserve:g} kept for live questions", blocks)


def _headline(one: Candidate) -> str:
    """A question on one line of the overview."""
    return f"{_title(one)}: {one.about.removeprefix('the ') or one.question}"


def _title(one: Candidate) -> str:
    """Who asks, and of what cart."""
    cart = f"{one.vehicle} cart" if one.vehicle in ("electric", "petrol") else one.vehicle
    return f"{_capital(one.name)} · {cart}" if cart else _capital(one.name)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _question(slot: Slot, row: ClockRow, programme: Programme, say: Callable[[str], str]) -> Page:
    when = f"at {clock(row.start)}, for {slot.minutes:.1f} minutes"
    blocks = tuple(_blocks(slot.candidate, say))
    return Page(str(slot.place), _title(slot.candidate), when, blocks, tuple(_if_late(row, programme)))


def _if_late(row: ClockRow, programme: Programme) -> Iterator[str]:
    """What to do when this page is reached too late, or so early that there is room for more."""
    places = {slot.candidate.thread: str(slot.place) for slot in programme.slots}
    spares = {one.thread: f"spare {number}" for number, one in enumerate(programme.spares[:MOST_SPARES], start=1)}
    drop = [places[thread] for thread in row.drop if thread in places]
    add = [spares[thread] for thread in row.add if thread in spares]
    if drop:
        yield f"later than {clock(row.late)}: leave out {' and '.join(drop)}"
    if add:
        yield f"earlier than {clock(row.early)}: room for {' and '.join(add)}"


def _spare(one: Candidate, number: int, say: Callable[[str], str]) -> Page:
    when = f"if there is time: {one.minutes:.1f} minutes"
    return Page(f"spare {number}", _title(one), when, tuple(_blocks(one, say)))


def _blocks(one: Candidate, say: Callable[[str], str]) -> Iterator[Block]:
    """The blocks of a question that have something in them."""
    needed = one.essentials
    found = [
        Block("question", Look.SAY, (say(one.question),)),
        Block("their words", Look.WORDS, (f"“{one.words}”",) if one.words else ()),
        Block("known", Look.NOTE, (" · ".join(needed.known),) if needed.known else ()),
        Block("take care", Look.GAP, tuple(missing.says for missing in needed.missing)),
        Block("safety", Look.WARN, needed.safety),
        Block("answer", Look.SAY, needed.answer),
        Block("causes", Look.SAY if not needed.answer else Look.NOTE, needed.causes),
        Block("checks", Look.SAY, needed.checks if not needed.answer else ()),
        Block("numbers", Look.NUMBER, needed.numbers),
        Block("ask for", Look.SAY, tuple(say(missing.ask) for missing in needed.missing if missing.ask)),
    ]
    return (block for block in found if block.lines)


def _last(programme: Programme, rows: Sequence[ClockRow]) -> Page:
    live, closing = (next(row.start for row in rows if row.item is item) for item in (Item.LIVE, Item.CLOSING))
    spares = tuple(f"{_headline(one)} ({one.minutes:.1f} min)" for one in programme.spares)
    blocks = [Block("say", Look.SAY, (programme.closing,))]
    if spares:
        blocks.insert(0, Block("spares", Look.NOTE, spares))
    return Page(
        "", "Live questions and closing", f"live from {clock(live)}, closing at {clock(closing)}", tuple(blocks)
    )

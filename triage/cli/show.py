"""How a reading and a thread look on a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from rich.console import RenderableType
from rich.text import Text

from triage.cli.page import head, indented, put, shown, waiting
from triage.cli.reading_page import draft_parts, reading_parts
from triage.model import Draft, Fact, Message, Reading, Standing
from triage.pack import Pack
from triage.store import HistoryEntry, Prior, Reply, Thread, What

MOST_PRIOR = 5  # earlier threads on the page; --json has them all
_APART = ("quoted", "forwarded", "signature")


def show_reading(reading: Reading, text: str, pack: Pack) -> None:
    """One reading, with the text it was made of."""
    put([Text(text.strip(), style="italic"), *reading_parts(reading, pack), *draft_parts(reading.draft)])


def show_thread(
    thread: Thread,
    history: Sequence[HistoryEntry],
    prior: Sequence[Prior],
    draft: Draft | None,
    pack: Pack,
    now: datetime,
) -> None:
    """A thread whole; a draft is shown until a reply went out, or where one is given in a style asked for."""
    put(_thread_parts(thread, history, prior, draft, pack, now))


def _thread_parts(
    thread: Thread,
    history: Sequence[HistoryEntry],
    prior: Sequence[Prior],
    draft: Draft | None,
    pack: Pack,
    now: datetime,
) -> Iterator[RenderableType]:
    yield Text(f"Thread {thread.id}: {thread.subject or '(no subject)'}", style="bold")
    yield Text(f"{_asker(thread)}, {thread.state.label}, waits {waiting(now, thread.waiting_since)}")
    for message in thread.messages:
        yield from _message(message)
    for entry in history:
        if entry.what is What.NOTE:
            yield head("Note", f"{entry.by}, {entry.at:%d %b %Y %H:%M}")
            yield indented(Text(str(entry.after.get("text", ""))))
    yield from _before(prior, pack)
    yield from _readings(thread, pack)
    for reply in thread.replies:
        yield from _reply(reply)
    if thread.outcome:
        yield head("What helped")
        yield indented(Text(thread.outcome))
    if draft:
        yield from draft_parts(draft)


def _asker(thread: Thread) -> str:
    name, email = thread.asker.name, thread.asker.email
    return f"{name} <{email}>" if name and email else name or email or "(no name)"


def _message(message: Message) -> Iterator[RenderableType]:
    sent = f"{message.sent:%d %b %Y %H:%M}" if message.sent else "no date"
    sender = message.sender.name or message.sender.email or "nobody named"
    automatic = f" (automatic: {message.automatic})" if message.automatic else ""
    yield head(sent, f"{message.channel} from {sender}{automatic}")
    yield indented(Text(message.text or "(no words of the asker's own)", style="italic"))
    apart = [f"{name}, {len(getattr(message, name).split())} words" for name in _APART if getattr(message, name)]
    files = [f"{file.name or 'a file'}, {_size(file.size)}" for file in message.attachments]
    for label, things in (("set aside", apart), ("attached", files), ("mended", message.notes)):
        if things:
            yield indented(Text(f"[{label}: {'; '.join(things)}]", style="dim"))


def _size(count: int) -> str:
    return f"{count / 1e6:.1f} MB" if count >= 1e6 else f"{max(1, count // 1000)} kB"


def _readings(thread: Thread, pack: Pack) -> Iterator[RenderableType]:
    texts = {question.id: question.text for question in thread.questions}
    for number, saved in enumerate(thread.readings, start=1):
        if len(thread.readings) > 1:
            yield head(f"Question {number} of {len(thread.readings)}")
            yield indented(Text(texts.get(saved.reading.id, ""), style="italic"))
        yield from reading_parts(saved.reading, pack)


def _before(prior: Sequence[Prior], pack: Pack) -> Iterator[RenderableType]:
    """What the asker told before, or what is known of the same vehicle."""
    if not prior:
        return
    more = len(prior) - MOST_PRIOR
    yield head("Before", f"and {more} earlier, see --json" if more > 0 else "")
    for earlier in prior[:MOST_PRIOR]:
        same = " and ".join(f"same {same.value}" for same in earlier.same)
        by = f" by {earlier.channel}" if earlier.channel == "phone" else ""
        yield indented(Text(f"thread {earlier.thread}, {earlier.when:%d %b %Y}{by}, {earlier.state.label}: {same}"))
        told = ", ".join(dict.fromkeys(_told(fact, pack) for fact in earlier.facts if _is_shown(fact)))
        lines = (earlier.summary.wrong, told and f"told: {told}", earlier.outcome and f"what helped: {earlier.outcome}")
        yield from (indented(Text(line, style="dim"), 4) for line in lines if line)


def _is_shown(fact: Fact) -> bool:
    """What was said and holds; the trouble stands in the line above."""
    return fact.standing.holds and fact.standing is not Standing.INFERRED and fact.name not in ("symptom", "intent")


def _told(fact: Fact, pack: Pack) -> str:
    label = pack.facts[fact.name].label if fact.name in pack.facts else fact.name.replace("_", " ")
    unsure = " (unsure)" if fact.standing is Standing.HEDGED else ""
    what = fact.what or label
    return f"{what} {shown(fact.value)} {fact.unit}".rstrip() + unsure


def _reply(reply: Reply) -> Iterator[RenderableType]:
    yield head("Replied", f"by {reply.by}, {reply.how}, {reply.at:%d %b %Y %H:%M}")
    yield indented(Text(reply.text))
    if reply.changed:
        yield head("Changed", f"in draft {reply.draft} before it went out")
        yield indented(Text("\n".join(reply.changed.splitlines()[2:])))

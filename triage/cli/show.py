"""How a reading and a thread look on a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from rich.console import RenderableType
from rich.text import Text

from triage.cli.page import head, indented, put, waiting
from triage.cli.reading_page import draft_parts, reading_parts
from triage.model import Message, Reading
from triage.pack import Pack
from triage.store import HistoryEntry, Reply, Thread, What

_APART = ("quoted", "forwarded", "signature")


def show_reading(reading: Reading, text: str, pack: Pack) -> None:
    """One reading, with the text it was made of."""
    put([Text(text.strip(), style="italic"), *reading_parts(reading, pack), *draft_parts(reading.draft)])


def show_thread(thread: Thread, history: Sequence[HistoryEntry], pack: Pack, now: datetime) -> None:
    """A thread whole."""
    put(_thread_parts(thread, history, pack, now))


def _thread_parts(
    thread: Thread, history: Sequence[HistoryEntry], pack: Pack, now: datetime
) -> Iterator[RenderableType]:
    yield Text(f"Thread {thread.id}: {thread.subject or '(no subject)'}", style="bold")
    yield Text(f"{_asker(thread)}, {thread.state.label}, waits {waiting(now, thread.waiting_since)}")
    for message in thread.messages:
        yield from _message(message)
    for entry in history:
        if entry.what is What.NOTE:
            yield head("Note", f"{entry.by}, {entry.at:%d %b %Y %H:%M}")
            yield indented(Text(str(entry.after.get("text", ""))))
    yield from _readings(thread, pack)
    for reply in thread.replies:
        yield from _reply(reply)
    if thread.outcome:
        yield head("What helped")
        yield indented(Text(thread.outcome))
    if thread.drafts and not thread.replies:
        yield from draft_parts(thread.drafts[-1].draft)


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


def _reply(reply: Reply) -> Iterator[RenderableType]:
    yield head("Replied", f"by {reply.by}, {reply.how}, {reply.at:%d %b %Y %H:%M}")
    yield indented(Text(reply.text))

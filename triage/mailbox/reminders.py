"""Askers who do not answer what we asked: back on the list after the shop's days, with a reminder drafted."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from triage.asked_back import asked_sentences
from triage.pack import Pack
from triage.reply.reminder import is_reminder, remind
from triage.reply.wording import Phrasebook
from triage.store import Reply, Store, Thread, ThreadState

MOST = 2  # reminders of one reply; after that the thread waits until somebody closes it


def remind_waiting(store: Store, pack: Pack, book: Phrasebook, now: datetime, *, by: str) -> Iterator[int]:
    """Draft a reminder in each thread that has waited for its asker as long as the shop allows; yields its number."""
    patience = timedelta(days=pack.shop.reminder_days)
    for thread in store.each_thread((ThreadState.WAITING_FOR_ASKER,)):
        before = len(reminded(thread))
        if now - thread.waiting_since < patience or before >= MOST:
            continue
        asked = next(
            (found for reply in reversed(_since_asked(thread)) if (found := asked_sentences(reply, thread))), ()
        )
        last = before + 1 == MOST
        draft = remind(thread.subject, thread.asker.name, asked, pack.shop.reminder_days, book, last=last)
        store.save_draft(thread.id, draft, by=by)
        yield thread.id


def reminded(thread: Thread) -> list[Reply]:
    """The reminders that went out since the asker's last message."""
    drafts = {version.version: version.draft for version in thread.drafts}
    return [reply for reply in _since_asked(thread) if reply.draft in drafts and is_reminder(drafts[reply.draft])]


def _since_asked(thread: Thread) -> list[Reply]:
    """What went out after the asker's last message, oldest first."""
    last = max((m.sent for m in thread.messages if m.sent and not m.automatic), default=None)
    return [reply for reply in thread.replies if last is None or reply.at >= last]

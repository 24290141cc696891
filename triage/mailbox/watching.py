"""One mailbox or folder watched: a round at once, then a round whenever something is new, here or there."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from triage.mailbox.account import Account, ExportFolder
from triage.mailbox.drafts import Drafts
from triage.mailbox.exports import take_in_exports
from triage.mailbox.round import BY, Reading, Round, full_round, think
from triage.mailbox.secret import password_of
from triage.mailbox.server import Idle, Server
from triage.store import FolderMark, Store

SLICE = 1.0  # seconds of waiting at a time, after which a stop is seen
POLL = 30.0  # seconds between looks where the server cannot tell news by itself
FOLDER_POLL = 5.0
ROUND_EVERY = 900.0  # a round even when nothing is new: askers grow silent by themselves
LONGEST_IDLE = 600.0  # RFC 2177: enter anew before the server takes the connection for dead (30 minutes)


@dataclass(frozen=True)
class Looking:
    """What watching needs, whatever is watched."""

    store: Store
    reading: Reading
    now: Callable[[], datetime]
    going: Callable[[], bool]
    went_well: Callable[[Round], None]
    look_every: float = 60.0


def watch_account(account: Account, looking: Looking) -> None:
    """Rounds over one connection until told to stop. Raises MailboxError when the connection is lost."""
    drafts = Drafts(looking.store, looking.reading.stages.pack.shop, looking.now, by=BY)
    with Server.connected(account, password_of(account)) as server:
        while looking.going():
            seen = looking.store.changes()
            done = full_round(server, looking.store, looking.reading, drafts, looking.now(), looking.going)
            looking.went_well(done)
            _wait_for_news(server, looking, seen)


def _wait_for_news(server: Server, looking: Looking, seen: int) -> None:
    """Until something is new on the server or, by another's hand, in the store; or a reminder may be due."""
    end = time.monotonic() + ROUND_EVERY
    first, *others = server.account.folders
    elsewhere = [folder for folder in (*others, server.account.sent) if folder]
    while looking.going() and time.monotonic() < end and looking.store.changes() == seen:
        opened = server.select(first)
        news = _is_ahead(first, opened.uidvalidity, opened.uid_next, looking, server)
        if news or any(_has_news(folder, server, looking) for folder in elsewhere):
            return
        if _one_wait(server, looking, seen):
            return


def _has_news(folder: str, server: Server, looking: Looking) -> bool:
    """The server announces by itself what comes into the open folder; in others one must look."""
    uidvalidity, uid_next, _ = server.status(folder)
    return _is_ahead(folder, uidvalidity, uid_next, looking, server)


def _is_ahead(folder: str, uidvalidity: int, uid_next: int, looking: Looking, server: Server) -> bool:
    mark = looking.store.mailboxes.mark(server.account.name, folder) or FolderMark(uidvalidity, 1)
    return mark.uidvalidity != uidvalidity or mark.uid_next < uid_next


def _one_wait(server: Server, looking: Looking, seen: int) -> bool:
    """Wait at most `look_every` seconds; True for news in the open folder."""
    end = time.monotonic() + min(looking.look_every, LONGEST_IDLE)
    if not server.can("IDLE"):
        _pass_time(min(POLL, looking.look_every), looking, seen)
        server.still_there()
        return False
    with server.idling() as idle:
        return _idle_until(end, idle, looking, seen)


def _idle_until(end: float, idle: Idle, looking: Looking, seen: int) -> bool:
    while looking.going() and time.monotonic() < end:
        if idle.news(SLICE):
            return True
        if looking.store.changes() != seen:
            return False
    return False


def _pass_time(seconds: float, looking: Looking, seen: int) -> None:
    end = time.monotonic() + seconds
    while looking.going() and time.monotonic() < end and looking.store.changes() == seen:
        time.sleep(min(SLICE, seconds))


def watch_folder(folder: ExportFolder, looking: Looking, wait: Callable[[float], bool]) -> None:
    """Look into a folder every few seconds until told to stop."""
    while looking.going():
        taken = take_in_exports(folder, looking.store, looking.reading.stages.pack, by=BY)
        read, reminded = think(looking.store, looking.reading, looking.now(), looking.going)
        looking.went_well(Round(taken, read=read, reminded=reminded))
        wait(FOLDER_POLL)

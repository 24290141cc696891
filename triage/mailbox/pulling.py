"""A mailbox or folder pulled once, with a few tries where the connection breaks."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import datetime

from triage.mailbox.account import Account, ExportFolder, Place
from triage.mailbox.drafts import Drafts
from triage.mailbox.exports import take_in_exports
from triage.mailbox.patience import Patience
from triage.mailbox.problems import Broken
from triage.mailbox.round import BY, Reading, Round, alone, full_round, look, think
from triage.mailbox.secret import password_of
from triage.mailbox.server import Server
from triage.pack import Pack
from triage.store import Store

TRIES = 4


def pull(
    place: Place,
    store: Store,
    pack: Pack,
    reading: Reading | None,
    now: Callable[[], datetime],
    patience: Patience | None = None,
) -> Round:
    """One round; without `reading` mail is only taken in. What a broken try did is kept, and the next goes on from it.

    Raises MailboxError when the last try fails too.
    """
    waits = patience or Patience()
    with alone(store.path, place.name):
        if isinstance(place, ExportFolder):
            return _exports(place, store, pack, reading, now)
        for tried in range(1, TRIES + 1):
            try:
                return _once(place, store, pack, reading, now)
            except Broken:
                if tried == TRIES:
                    raise
                time.sleep(waits.next_wait())
    raise AssertionError("the last try returns or raises")


def _once(account: Account, store: Store, pack: Pack, reading: Reading | None, now: Callable[[], datetime]) -> Round:
    with Server.connected(account, password_of(account)) as server:
        if reading is None:
            return look(server, store, pack)
        return full_round(server, store, reading, Drafts(store, pack.shop, now, by=BY), now())


def _exports(
    folder: ExportFolder, store: Store, pack: Pack, reading: Reading | None, now: Callable[[], datetime]
) -> Round:
    taken = take_in_exports(folder, store, pack, by=BY)
    read, reminded = think(store, reading, now()) if reading else (0, 0)
    return Round(taken, read=read, reminded=reminded)

"""Mail of one folder into the store: each once, in order, from where it was left off."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from triage.desk import Tally, keep, prepared
from triage.intake import MalformedMessage, parse_message
from triage.intake.message import LARGEST, too_large
from triage.mailbox.problems import MailboxError
from triage.mailbox.server import Selected, Server, refused_only
from triage.model import Message, Rejected
from triage.pack import Pack
from triage.store import FolderMark, Store

HANDFUL, HANDFUL_BYTES = 100, 16 << 20  # fetched at one go
_KEPT_OF_OVERSIZE = 65_536


@dataclass(frozen=True, slots=True)
class Fetched:
    """Messages of a folder as they arrived, with the UID to go on from when they are kept."""

    arrived: tuple[Message | Rejected, ...]
    uids: tuple[int, ...]
    mark: FolderMark


Going = Callable[[], bool]


def take_in_folder(
    server: Server, folder: str, store: Store, pack: Pack, *, by: str, going: Going = lambda: True
) -> Tally:
    """Take in what is new in a folder, a handful at a time.

    How far the folder was read is written in the same transaction as the mail, so that a stop at any moment leaves
    both or neither.
    """
    keyword, tally = server.account.keyword, Tally()
    for fetched in news(server, folder, store, writable=bool(keyword)):
        if keyword and fetched.uids:  # before it is kept: one that was flagged and not kept comes again
            server.set_keyword(fetched.uids, keyword)
        ready = [prepared(item, pack) for item in fetched.arrived]
        with store.batch(len(ready) + 1):
            tally += keep(ready, store, by)
            store.mailboxes.set_mark(server.account.name, folder, fetched.mark, by=by)
        if not going():
            break
    return tally


def news(server: Server, folder: str, store: Store, *, writable: bool = False) -> Iterator[Fetched]:
    """What came into a folder since it was last read; all of it when the server counts anew (UIDVALIDITY).

    The caller writes `mark` with what it keeps; the next handful is fetched only then.
    """
    selected = server.select(folder, writable=writable)
    mark = store.mailboxes.mark(server.account.name, folder)
    first = mark.uid_next if mark and mark.uidvalidity == selected.uidvalidity else 1
    if first == selected.uid_next:
        return
    uids = server.uids_from(first, server.account.first_day)
    for handful in _handfuls(uids, server):
        yield Fetched(
            tuple(_arrived(server, folder, handful)),
            tuple(handful),
            FolderMark(selected.uidvalidity, handful[-1] + 1),
        )
    yield Fetched((), (), FolderMark(selected.uidvalidity, _end(selected, uids, first)))


def _end(selected: Selected, uids: Sequence[int], first: int) -> int:
    """The next UID to look at: mail that came in while the folder was read may lie above what was announced."""
    return max(selected.uid_next, first, uids[-1] + 1 if uids else 0)


def _handfuls(uids: Sequence[int], server: Server) -> Iterator[list[int]]:
    """UIDs in lists small enough to hold their mails in memory; one that is larger stands alone."""
    for start in range(0, len(uids), HANDFUL):
        part = uids[start : start + HANDFUL]
        sizes = server.sizes(part)
        handful: list[int] = []
        held = 0
        for uid in part:
            if handful and held + sizes.get(uid, 0) > HANDFUL_BYTES:
                yield handful
                handful, held = [], 0
            handful.append(uid)
            held += sizes.get(uid, 0)
        yield handful


def _arrived(server: Server, folder: str, uids: Sequence[int]) -> Iterator[Message | Rejected]:
    """The messages; one that has gone meanwhile is left out, one that cannot be had or read is set aside."""
    if len(uids) == 1 and server.sizes(uids).get(uids[0], 0) > LARGEST:
        size = server.sizes(uids)[uids[0]]
        yield Rejected(_where(server, folder, uids[0]), too_large(size), server.beginning(uids[0], _KEPT_OF_OVERSIZE))
        return
    try:
        found = server.mails(uids)
    except MailboxError as error:
        if not refused_only(error):
            raise
        yield from _one_by_one(server, folder, uids, error)
        return
    for uid in uids:
        if uid in found:
            yield _read(found[uid], _where(server, folder, uid))


def _one_by_one(server: Server, folder: str, uids: Sequence[int], error: MailboxError) -> Iterator[Message | Rejected]:
    """One damaged message must not hold up the others."""
    if len(uids) == 1:
        yield Rejected(_where(server, folder, uids[0]), f"the server does not hand it out ({error})")
        return
    for uid in uids:
        yield from _arrived(server, folder, [uid])


def _read(raw: bytes, where: str) -> Message | Rejected:
    try:
        return parse_message(raw)
    except MalformedMessage as error:
        return Rejected(where, str(error), raw)


def _where(server: Server, folder: str, uid: int) -> str:
    return f"mailbox {server.account.name}, {folder}, message {uid}"

"""Ready replies into the drafts folder: one for each thread, replaced when it changed, never over a person's hand.

The folder itself says what lies in it; the store only remembers what was laid, so that a draft which a person
threw away does not come back. A new draft is laid before the old one is taken out: a stop between the two leaves both,
and the next run finds them by their marks and keeps the newer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from email import message_from_bytes
from email.message import Message as Mail

from triage.desk import answered_message
from triage.mailbox.draft_mail import MARK, draft_mail, mark_in, was_edited
from triage.mailbox.server import Server
from triage.pack.schema import Shop
from triage.store import LaidDraft, ReadyThread, Store, Thread, ThreadState, Whose

THEIRS = "The draft in the mailbox was changed by hand. It was left as it is, and no new one was put beside it."


@dataclass(frozen=True, slots=True)
class Lying:
    """One of our drafts in the folder."""

    uid: int
    digest: str  # of its words when we laid it


@dataclass(frozen=True, slots=True)
class Folder:
    """What lies in the drafts folder: ours by thread, oldest first, and what other drafts answer."""

    ours: Mapping[int, Sequence[Lying]]
    answered: frozenset[str]  # Message-IDs that drafts without our mark refer to


@dataclass(frozen=True, slots=True)
class Settled:
    """What was done in the drafts folder."""

    laid: int = 0
    removed: int = 0
    left: int = 0  # threads whose draft a person has in hand

    def __add__(self, more: Settled) -> Settled:
        """Both together."""
        return Settled(self.laid + more.laid, self.removed + more.removed, self.left + more.left)


class Drafts:
    """The drafts of one store in one mailbox."""

    def __init__(self, store: Store, shop: Shop, now: Callable[[], datetime], *, by: str) -> None:
        self._store, self._shop, self._now, self._by = store, shop, now, by
        self._token = token_of(store, by=by)
        self._digests: dict[ReadyThread, str] = {}  # "" for a thread whose asker has no mail address

    def settle(self, server: Server) -> Settled:
        """Make the folder hold the draft of every ready thread, and no draft of ours besides."""
        name = server.account.drafts
        if not name:
            return Settled()
        server.select(name, writable=True)
        folder = self._lying(server)
        wanted = {ready.thread: digest for ready in self._store.mailboxes.ready() if (digest := self._digest(ready))}
        done, laid = Settled(), self._store.mailboxes.laid(server.account.name)
        for thread in dict.fromkeys((*wanted, *folder.ours)):
            at_hand = _AtHand(thread, folder.ours.get(thread, ()), wanted.get(thread, ""), laid.get(thread))
            done += self._settle_one(server, at_hand, folder.answered)
        return done

    def _lying(self, server: Server) -> Folder:
        ours: dict[int, list[Lying]] = {}
        answered: set[str] = set()
        for uid, head in sorted(server.headers(server.present(), [MARK, "In-Reply-To", "References"]).items()):
            mail = message_from_bytes(head)
            mark = mark_in(str(mail.get(MARK, "")), self._token)
            if mark:  # of a thread that was forgotten since, it goes too
                thread = self._store.mailboxes.present(mark.thread) or mark.thread
                ours.setdefault(thread, []).append(Lying(uid, mark.digest))
            else:
                answered |= set(_ids(mail))
        return Folder(ours, frozenset(answered))

    def _digest(self, ready: ReadyThread) -> str:
        if ready not in self._digests:
            made = self._made(self._store.thread(ready.thread))
            self._digests[ready] = made[0] if made else ""
        return self._digests[ready]

    def _made(self, thread: Thread) -> tuple[str, bytes] | None:
        """The thread's reply as a mail; None where there is none to lay any more, or nobody to write to."""
        if thread.state is not ThreadState.READY or not thread.drafts:
            return None
        message = answered_message(thread)
        message = replace(message, id=self._store.header_id(message.id))
        try:
            return draft_mail(thread.drafts[-1].draft, message, self._shop, thread.id, self._token, self._now())
        except ValueError:
            return None

    def _settle_one(self, server: Server, at: _AtHand, answered: frozenset[str]) -> Settled:
        if at.is_settled:
            return Settled()
        mails = server.mails([one.uid for one in at.lying])
        at = replace(at, lying=[one for one in at.lying if one.uid in mails])  # one may be sent just now
        edited = [one for one in at.lying if was_edited(mails[one.uid], one.digest)]
        if edited:
            return self._leave(server, at, edited)
        if not at.wanted:
            self._store.mailboxes.take_up(server.account.name, at.thread, by=self._by)
            return self._remove(server, at.lying)
        if not at.lying and (at.was_thrown_away or self._in_hand(at.thread, answered)):
            return Settled()
        return self._replace(server, at)

    def _leave(self, server: Server, at: _AtHand, edited: Sequence[Lying]) -> Settled:
        """A person wrote on in our draft: theirs stays, ours besides it goes, and the thread says so once."""
        theirs = LaidDraft(edited[-1].digest, Whose.THEIRS)
        if at.laid != theirs and self._store.mailboxes.present(at.thread):
            self._store.note(at.thread, THEIRS, by=self._by)
            self._store.mailboxes.lay(server.account.name, at.thread, theirs, by=self._by)
        return self._remove(server, [one for one in at.lying if one not in edited]) + Settled(left=1)

    def _in_hand(self, thread: int, answered: frozenset[str]) -> bool:
        """Somebody writes a reply of their own: no draft is put beside it."""
        messages = self._store.thread(thread).messages
        return any(self._store.header_id(message.id) in answered for message in messages)

    def _replace(self, server: Server, at: _AtHand) -> Settled:
        """The new one in, then the old ones out. The newest that says what is wanted stays."""
        stays = next((one for one in reversed(at.lying) if one.digest == at.wanted), None)
        laid = 0
        if stays is None:
            made = self._made(self._store.thread(at.thread))
            if made is None or made[0] != at.wanted:  # the thread moved on just now; the next run sees to it
                return Settled()
            server.lay(server.account.drafts, made[1])
            laid = 1
        if at.laid != LaidDraft(at.wanted):
            self._store.mailboxes.lay(server.account.name, at.thread, LaidDraft(at.wanted), by=self._by)
        return self._remove(server, [one for one in at.lying if one != stays]) + Settled(laid=laid)

    @staticmethod
    def _remove(server: Server, old: Sequence[Lying]) -> Settled:
        if old:
            server.remove([one.uid for one in old])
        return Settled(removed=len(old))


@dataclass(frozen=True, slots=True)
class _AtHand:
    """One thread: what lies there for it, what should lie there ("" for nothing), what was laid last."""

    thread: int
    lying: Sequence[Lying]
    wanted: str
    laid: LaidDraft | None

    @property
    def is_settled(self) -> bool:
        """Just the one that is wanted lies there, or none is wanted and none there; and the store knows."""
        if not self.wanted:
            return not self.lying
        return [one.digest for one in self.lying] == [self.wanted] and self.laid == LaidDraft(self.wanted)

    @property
    def was_thrown_away(self) -> bool:
        """The draft wanted was laid before, and is gone."""
        return self.laid is not None and self.laid.digest == self.wanted


def _ids(mail: Mail) -> Iterator[str]:
    for name in ("In-Reply-To", "References"):
        for value in mail.get_all(name, []):
            yield from (id.strip("<>") for id in str(value).split())


def token_of(store: Store, *, by: str) -> str:
    """What tells this store's drafts from those of any other program or store; made once."""
    import secrets

    if not store.setting("mailbox token"):
        store.set_setting("mailbox token", secrets.token_hex(6), by=by)
    return store.setting("mailbox token")

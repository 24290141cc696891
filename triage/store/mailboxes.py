"""What the store knows of the shop's mailboxes: their settings, how far they were read, the drafts laid in them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from triage.store.codec import encodable, to_json
from triage.store.errors import NotFound
from triage.store.section import Section
from triage.store.states import ThreadState
from triage.store.values import What

_READY = """
    select id, (select max(id) from drafts d where d.thread = t.id),
           (select max(row) from messages m where m.thread = t.id)
    from threads t where merged_into is null and state = ? order by danger, waiting_since, id
"""


@dataclass(frozen=True, slots=True)
class FolderMark:
    """How far a folder was read: every UID below `uid_next`, as long as the folder keeps its UIDVALIDITY (RFC 3501)."""

    uidvalidity: int
    uid_next: int


class Whose(StrEnum):
    """Who wrote last in a draft that lies in a drafts folder."""

    OURS = "ours"
    THEIRS = "theirs"  # a person wrote on in it: it is left alone


@dataclass(frozen=True, slots=True)
class LaidDraft:
    """A draft laid into a mailbox, known by the digest of its words."""

    digest: str
    whose: Whose = Whose.OURS


@dataclass(frozen=True, slots=True)
class ReadyThread:
    """A thread whose reply is ready; `draft` and `message` change whenever there is another reply to lay."""

    thread: int
    draft: int  # row of its newest draft
    message: int  # row of its newest message


class Mailboxes(Section):
    """The mailboxes of one store. A mark set inside `Store.batch` is committed with what was taken in."""

    def settings(self) -> dict[str, str]:
        """The settings of each mailbox, by name, as they were given to `add`."""
        with self._look() as db:
            return dict(db.execute("select name, settings from mailboxes order by name").fetchall())

    def add(self, name: str, settings: str, *, by: str) -> None:
        """Keep a mailbox, or change the settings of one; how far it was read stays."""
        sql = "insert into mailboxes values (?, ?) on conflict (name) do update set settings = excluded.settings"
        with self._change(by) as change:
            change.db.execute(sql, [encodable(name), encodable(settings)])
            change.record(None, What.SETTING, after={f"mailbox {name}": settings})

    def remove(self, name: str, *, by: str) -> None:
        """Forget a mailbox and how far it was read; what was taken in stays. Raises NotFound."""
        with self._change(by) as change:
            gone = change.db.execute("delete from mailboxes where name = ?", [name]).rowcount
            if not gone:
                raise NotFound(f"There is no mailbox {name}. See: triage mailbox list")
            for table in ("mailbox_folders", "mailbox_drafts"):
                change.db.execute(f"delete from {table} where mailbox = ?", [name])
            change.record(None, What.SETTING, before={f"mailbox {name}": "removed"})

    def mark(self, mailbox: str, folder: str) -> FolderMark | None:
        """How far a folder was read; None where it never was."""
        sql = "select uidvalidity, uid_next from mailbox_folders where mailbox = ? and folder = ?"
        with self._look() as db:
            row = db.execute(sql, [mailbox, folder]).fetchone()
        return FolderMark(*row) if row else None

    def set_mark(self, mailbox: str, folder: str, mark: FolderMark, *, by: str) -> None:
        """Say how far a folder was read. Not part of the history: nobody decides it."""
        with self._change(by) as change:
            row = [mailbox, folder, mark.uidvalidity, mark.uid_next]
            change.db.execute("insert or replace into mailbox_folders values (?, ?, ?, ?)", row)

    def laid(self, mailbox: str) -> dict[int, LaidDraft]:
        """The draft last laid into this mailbox for each thread, be it there still or not."""
        with self._look() as db:
            rows = db.execute(
                "select thread, digest, state from mailbox_drafts where mailbox = ?", [mailbox]
            ).fetchall()
        return {thread: LaidDraft(digest, Whose(state)) for thread, digest, state in rows}

    def lay(self, mailbox: str, thread: int, draft: LaidDraft, *, by: str) -> None:
        """Say which draft lies in the mailbox for a thread, and whose it is."""
        with self._change(by) as change:
            row = [mailbox, thread, draft.digest, draft.whose.value]
            change.db.execute("insert or replace into mailbox_drafts values (?, ?, ?, ?)", row)

    def take_up(self, mailbox: str, thread: int, *, by: str) -> None:
        """Say that no draft is to lie there for the thread; a later one is laid again, be it the same."""
        with self._change(by) as change:
            change.db.execute("delete from mailbox_drafts where mailbox = ? and thread = ?", [mailbox, thread])

    def ready(self) -> list[ReadyThread]:
        """The threads whose reply is ready, the most dangerous first."""
        with self._look() as db:
            rows = db.execute(_READY, [ThreadState.READY.value]).fetchall()
        return [ReadyThread(*row) for row in rows]

    def present(self, thread: int) -> int | None:
        """The number under which a thread goes on; None for one that is not there (any more)."""
        sql = "select coalesce(merged_into, id) from threads where id = ?"
        with self._look() as db:
            row = db.execute(sql, [thread]).fetchone()
        return int(row[0]) if row else None

    def thread_of(self, header_ids: Sequence[str]) -> int | None:
        """The thread that one of these Message-IDs belongs to, the first that is known; None for none of them."""
        sql = """select m.thread from json_each(?) wanted join message_ids m on m.header_id = wanted.value
                 order by wanted.key limit 1"""
        with self._look() as db:
            row = db.execute(sql, [to_json([encodable(id) for id in header_ids])]).fetchone()
        return self.present(row[0]) if row else None

    def saw_file(self, digest: str) -> bool:
        """True when a file of these bytes was taken in from a watched folder."""
        with self._look() as db:
            return db.execute("select 1 from files_seen where digest = ?", [digest]).fetchone() is not None

    def see_file(self, digest: str, name: str, *, by: str) -> None:
        """Say that a file of a watched folder was taken in."""
        with self._change(by) as change:
            change.db.execute("insert or ignore into files_seen values (?, ?, ?)", [digest, name, change.at])

"""triage backup, restore and forget: the store as a whole, and one person's part of it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
from platformdirs import user_data_path

from triage.cli.common import ByOption, StoreOption, counted, now, open_store, who
from triage.cli.errors import naming
from triage.store import Forgotten, back_up, put_back

_TABLES = {
    "threads": "thread", "messages": "message", "questions": "question", "readings": "reading", "drafts": "draft",
    "replies": "reply", "facts_set": "fact set by hand", "history": "entry of the history emptied",
    "rejected": "mail set aside",
}  # fmt: skip
_PLURALS = {
    "reply": "replies", "entry of the history emptied": "entries of the history emptied",
    "fact set by hand": "facts set by hand", "mail set aside": "mails set aside",
}  # fmt: skip


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    app.command("backup")(backup_command)
    app.command("restore")(restore_command)
    app.command("forget")(forget_command)


def backup_command(
    to: Annotated[Path, typer.Argument(metavar="FILE", help="The copy; a file that is not there yet.")],
    store: StoreOption = None,
) -> None:
    """Copy the whole store into one file, while others may go on writing, and look the copy through."""
    with open_store(store) as queue:
        path = queue.path
    with naming(to):
        copied = back_up(path, to)
    print(
        f"{to}: {counted(copied.threads, 'thread')}, {counted(copied.messages, 'message')}, looked through and sound."
    )


def restore_command(
    copy: Annotated[Path, typer.Argument(metavar="FILE", help="A copy that 'triage backup' made.")],
    store: StoreOption = None,
) -> None:
    """Make the store what a copy holds. What it holds now is kept in a file beside it first."""
    path = store or user_data_path("cart-triage") / "queue.db"
    with naming(path):
        copied, aside = put_back(copy, path, now())
    with open_store(store):  # an older copy is brought up to date
        pass
    print(f"{path} holds {counted(copied.threads, 'thread')} and {counted(copied.messages, 'message')} again.")
    if aside:
        print(f"What it held before is in {aside}")


def forget_command(
    person: Annotated[str, typer.Argument(help="Mail address, or name ('Name <>' for the one without an address).")],
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Only say what would be removed.")] = False,
    yes: Annotated[bool, typer.Option("--yes", help="Do not ask first.")] = False,
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Remove a person: every thread they wrote in, from all tables, the search index and the file itself."""
    with open_store(store) as queue:
        found = queue.would_forget(person)
        _say(found, "Would be removed" if dry_run else "To be removed")
        if dry_run:
            return
        if not yes:
            typer.confirm("This cannot be taken back. Remove it?", abort=True)
        queue.forget(person, by=who(by))
    print("Removed. Not touched: the mail itself in the shop's mailbox, copies made with 'triage backup', exports.")


def _say(found: Forgotten, what: str) -> None:
    parts = [_counted(found.rows[table], word) for table, word in _TABLES.items() if table in found.rows]
    print(f"{what}: {found.person or 'somebody without a name'}: {', '.join(parts) or 'nothing but the name'}.")
    if found.threads:
        print(f"  threads {', '.join(map(str, found.threads))}")
    if found.others:
        print(f"  {counted(found.others, 'message')} of other people in these threads go with them.")
    if found.mentions:
        threads = ", ".join(map(str, found.mentions))
        print(f"  Named by others in threads that stay, which you may want to look through: {threads}")


def _counted(number: int, word: str) -> str:
    return f"{number} {word if number == 1 else _PLURALS.get(word, word + 's')}"

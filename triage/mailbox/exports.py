"""Exports that a web form or a chat drops into a folder of this computer: each file taken in once, by its digest."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Iterator
from pathlib import Path

from triage.desk import Tally, take_in
from triage.intake import IntakeError, read_source
from triage.intake.columns import beside
from triage.mailbox.account import ExportFolder
from triage.mailbox.problems import MailboxError
from triage.model import Rejected
from triage.pack import Pack
from triage.store import Store

QUIET_SECONDS = 2.0  # a file written to this lately may not be finished


def take_in_exports(folder: ExportFolder, store: Store, pack: Pack, *, by: str) -> Tally:
    """Take in every finished file of the folder that was not taken in before; one that cannot be read is set aside.

    Raises MailboxError when the folder is not there.
    """
    place, tally = Path(folder.path), Tally()
    if not place.is_dir():
        raise MailboxError(f"{place}: there is no such folder. Is its disk connected? See: triage mailbox list")
    for file in finished(place):
        digest = _digest(file)
        if not store.mailboxes.saw_file(digest):
            tally += _taken(file, digest, store, pack, by)
    return tally


def finished(folder: Path) -> Iterator[Path]:
    """Files that nobody has written to for a moment, oldest first; hidden ones and column files are none."""
    files = [file for file in folder.iterdir() if file.is_file() and not file.name.startswith(".")]
    columns = {beside(file) for file in files}
    latest = time.time() - QUIET_SECONDS
    for file in sorted(files, key=lambda file: (file.stat().st_mtime, file.name)):
        if file not in columns and file.stat().st_mtime <= latest:
            yield file


def _taken(file: Path, digest: str, store: Store, pack: Pack, by: str) -> Tally:
    """One that cannot be read is looked at again each time: a column file may be put beside it."""
    try:
        tally = take_in(read_source(file), store, pack, by=by)
    except IntakeError as error:
        return take_in([Rejected(str(file), str(error))], store, pack, by=by)
    store.mailboxes.see_file(digest, file.name, by=by)
    return tally


def _digest(file: Path) -> str:
    with file.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()

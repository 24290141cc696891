"""Where messages come from: mailbox files, folders of mail, and exports; told apart by what they are."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from triage.intake import mbox
from triage.intake.columns import USUAL, ColumnMap, beside, load_columns
from triage.intake.errors import IntakeError, MalformedMessage
from triage.intake.message import LARGEST, parse_message, too_large
from triage.intake.notes import is_notes, read_notes
from triage.intake.rows import row_messages
from triage.intake.table import Row, csv_rows, jsonl_rows
from triage.model import Message, Rejected

_HEAD = 4096  # bytes looked at to tell what a file is
_KEPT_OF_OVERSIZE = 65_536  # bytes of an oversized mail kept with its rejection
_WRONG = {
    b"PK\x03\x04": "is a zip archive: unpack it and give the mailbox file or folder inside",
    b"PK\x05\x06": "is an empty zip archive: there is no mail inside",
    b"\x1f\x8b": "is a gzip archive: unpack it (gunzip) and give the file inside",
    b"BZh": "is a bzip2 archive: unpack it and give the file inside",
    b"7z\xbc\xaf\x27\x1c": "is a 7z archive: unpack it and give the file inside",
    b"Rar!": "is a rar archive: unpack it and give the file inside",
    b"%PDF": "is a PDF: save the mails as .eml files instead of printing them",
    b"\xd0\xcf\x11\xe0": "is an office document (.msg, .doc or .xls): save mails as .eml and tables as CSV",
    b"!BDN": "is one mail program's own archive: export the folder as mbox or as .eml files",
    b"SQLite format 3\x00": "is a database: if it is the store, pass it with --store",
    b"\x89PNG": "is a picture: type the question in, or give the mail it came with",
    b"\xff\xd8\xff": "is a picture: type the question in, or give the mail it came with",
}
_HEADER_LINE = re.compile(rb"\s*[!-9;-~]+[ \t]*:")
_KINDS = "an mbox file, an .eml file, a folder of .eml files, a Maildir, a .csv or a .jsonl export, or phone notes"


def read_source(path: Path, *, columns: ColumnMap | None = None) -> Iterator[Message | Rejected]:
    """Everything in `path`, one at a time: a Message for what can be read, a Rejected for what cannot.

    Knows an mbox (RFC 4155), an .eml, a folder of .eml, a Maildir, CSV and JSONL. `columns` says what the
    columns of an export mean; without it "NAME.columns.yaml" beside the export, else the usual names.
    Raises IntakeError, before anything is read, when `path` is none of these.
    """
    if path.is_dir():
        return _folder(path)
    if not path.exists():
        raise IntakeError(f"{path}: there is no such file or folder")
    with path.open("rb") as file:
        head = file.read(_HEAD)
    _refuse_wrong(path, head)
    return _reader(path, head, columns)()


def _refuse_wrong(path: Path, head: bytes) -> None:
    for magic, what in _WRONG.items():
        if head.startswith(magic):
            raise IntakeError(f"{path}: {what}")
    if head[:256].lstrip().lower().startswith((b"<html", b"<!doctype html")):
        raise IntakeError(f"{path}: is a web page: save the mail itself as an .eml file")


def _reader(path: Path, head: bytes, columns: ColumnMap | None) -> Callable[[], Iterator[Message | Rejected]]:
    suffix = path.suffix.lower()
    if suffix in (".csv", ".tsv"):
        return _table(path, csv_rows, columns)
    if suffix in (".jsonl", ".ndjson", ".json"):
        return _table(path, jsonl_rows, columns)
    if is_notes(head.decode("utf-8", errors="replace")):
        return lambda: read_notes(path)
    if head.lstrip(b"\r\n").startswith(b"From ") or not (head.strip() or suffix == ".eml"):
        return lambda: _mbox(path)
    if suffix == ".eml" or _HEADER_LINE.match(head):
        return lambda: _files([path])
    raise IntakeError(f"{path}: is not {_KINDS}; an mbox starts with a line 'From ADDRESS DATE'")


def _mbox(path: Path) -> Iterator[Message | Rejected]:
    with path.open("rb") as file:
        for raw in mbox.messages(file):
            place = f"{path.name}, message {raw.number} (byte {raw.offset})"
            yield _taken(place, raw.data, raw.size)


def _folder(path: Path) -> Iterator[Message | Rejected]:
    boxes = [path / name for name in ("cur", "new") if (path / name).is_dir()]
    if boxes:
        return _files(sorted(f for box in boxes for f in box.iterdir() if _is_mail_file(f)))
    files = sorted(f for f in path.rglob("*") if f.suffix.lower() == ".eml" and f.is_file())
    if not files:
        raise IntakeError(f"{path}: holds no .eml files and is no Maildir (no cur/ or new/); give {_KINDS}")
    return _files(files)


def _is_mail_file(path: Path) -> bool:
    return path.is_file() and not path.name.startswith(".")


def _files(files: Iterable[Path]) -> Iterator[Message | Rejected]:
    for path in files:
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
        yield _taken(path.name, data, path.stat().st_size)


def _taken(place: str, data: bytes, size: int) -> Message | Rejected:
    if size > LARGEST:
        return Rejected(place, too_large(size), data[:_KEPT_OF_OVERSIZE])
    try:
        return parse_message(data)
    except MalformedMessage as error:
        return Rejected(place, str(error), data)


def _table(
    path: Path, read: Callable[[Path], Iterator[Row]], columns: ColumnMap | None
) -> Callable[[], Iterator[Message | Rejected]]:
    given = beside(path)
    chosen = columns or (load_columns(given) if given.exists() else USUAL)
    first = next(read(path), None)
    if first and first.cells:
        _check_columns(path, set(first.cells), chosen, usual=chosen is USUAL)
    return lambda: row_messages(read(path), chosen, path.name)


def _check_columns(path: Path, found: set[str], columns: ColumnMap, *, usual: bool) -> None:
    """Every column that the map names must be there; of the usual names only the text must."""
    texts = {f"text ({t.column})": t.column for t in columns.text}
    wanted = texts if usual else texts | columns.named()
    if path.suffix.lower() not in (".csv", ".tsv"):
        return  # JSONL rows may leave keys out
    for meaning, column in wanted.items():
        if column not in found:
            raise IntakeError(
                f"{path}, row 1: no column '{column}' for {meaning}. "
                f"Columns there: {', '.join(sorted(found))}. "
                f"Say what they mean in {beside(path).name}, for example 'text: \"{sorted(found)[0]}\"'."
            )

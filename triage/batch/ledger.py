"""The ledger of a batch: what it is made of, and which parts are done; a line that was cut off counts for nothing."""

from __future__ import annotations

import hashlib
import json
import os
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TypeVar

from triage.unusable import Unusable

NAME = "ledger.jsonl"


@dataclass(frozen=True, slots=True)
class Terms:
    """What every part of one batch has in common; with other terms a part would have other readings."""

    pack: str  # digest
    encoder: str  # tag
    ranker: str  # digest; a shop may have taught it
    program: str  # version
    part: int  # messages in each
    drafts: bool


@dataclass(frozen=True, slots=True)
class Done:
    """One part that was read and written."""

    part: int
    of: str  # digest of the mail it was made of
    messages: int
    questions: int
    set_aside: int
    digest: str  # of the file


Entry = TypeVar("Entry", Terms, Done)


class Ledger:
    """The ledger in a folder, on the disk after every entry; one program at a time writes it."""

    def __init__(self, folder: Path, terms: Terms) -> None:
        """Open or begin it. Raises Unusable for a batch begun on other terms, or a folder with something else in it."""
        self._folder, self._file = folder, folder / NAME
        lines = self._whole_lines()
        if not lines:
            _refuse_strange(folder)
            self._append(asdict(terms))
        elif (begun := _read(Terms, lines[0], self._file)) != terms:
            raise Unusable(_other_terms(folder, begun, terms))
        self.done = {entry.part: entry for entry in (_read(Done, line, self._file) for line in lines[1:])}

    def has(self, part: int, of: str, file: Path) -> bool:
        """True when the part is done and its file as it was written. Raises Unusable when it is of other mail."""
        entry = self.done.get(part)
        if entry is None:
            return False
        if entry.of != of:
            raise Unusable(
                f"{self._folder}: part {part} was made of other mail than is there now. A batch goes on only over the "
                "same sources in the same order. Name a new folder with --to."
            )
        return file.is_file() and hashlib.sha256(file.read_bytes()).hexdigest() == entry.digest

    def enter(self, entry: Done) -> None:
        """Say that a part is done; its file lies there already."""
        self._append(asdict(entry))
        self.done[entry.part] = entry

    def _whole_lines(self) -> list[str]:
        """The lines that were written to their end; what a kill cut off is taken away."""
        if not self._file.exists():
            return []
        text = self._file.read_bytes()
        whole = text[: text.rfind(b"\n") + 1]
        if whole != text:
            os.truncate(self._file, len(whole))
        return whole.decode("utf-8").splitlines()

    def _append(self, record: dict[str, object]) -> None:
        with self._file.open("a", encoding="utf-8") as file:
            file.write(json.dumps(record) + "\n")
            file.flush()
            os.fsync(file.fileno())


def _read(kind: type[Entry], line: str, file: Path) -> Entry:
    try:
        return kind(**json.loads(line))
    except (ValueError, TypeError) as error:
        raise Unusable(
            f"{file} is no ledger of a batch, or is damaged ({error}). Name a new folder with --to."
        ) from error


def _refuse_strange(folder: Path) -> None:
    if there := sorted(path.name for path in folder.glob("part-*.jsonl")):
        raise Unusable(f"{folder} holds {there[0]} but no {NAME}. Name a new folder with --to; nothing was touched.")


def _other_terms(folder: Path, begun: Terms, wanted: Terms) -> str:
    old, new = asdict(begun), asdict(wanted)
    other = ", ".join(f"{name} {old[name]!s:.12} and not {new[name]!s:.12}" for name in old if old[name] != new[name])
    return f"{folder} was begun with {other}. Go on with what it was begun with, or name a new folder with --to."

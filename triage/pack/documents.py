"""Files of a pack as plain data: YAML, and Markdown with YAML between --- lines at its top."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Protocol

import yaml

from triage.pack.problem import Problem, Severity
from triage.pack.yamltext import BadYaml, Plain, compose, locate, plain

_FENCE = "---"


class Place(Protocol):
    """Where a record comes from: a file, or a row of a spreadsheet."""

    @property
    def body(self) -> str:
        """The long text that belongs to the record."""

    def problem(self, path: Sequence[str | int], message: str, fix: str = "", **more: object) -> Problem:
        """A problem of the value at `path`."""


@dataclass(frozen=True)
class Document:
    """One file: its YAML as data, and the Markdown under it where there is any."""

    file: Path
    source: str  # the YAML
    skipped: int  # lines of the file before its YAML starts
    body: str
    sha: str

    @cached_property
    def node(self) -> yaml.Node | None:
        """The YAML's nodes, for places. Raises BadYaml with lines counted within the YAML."""
        return compose(self.source)

    def data(self) -> Plain:
        """The YAML as plain text values. Raises BadYaml with lines counted within the YAML."""
        return plain(self.node)

    def problem(self, path: Sequence[str | int], message: str, fix: str = "", **more: object) -> Problem:
        """A problem of the value at `path` (the key itself with of_key=True; severity="warning" for less)."""
        line, column = locate(self.node, path, of_key=bool(more.get("of_key")))
        severity: Severity = "warning" if more.get("severity") == "warning" else "error"
        key = ".".join(str(step) for step in path)
        return Problem(str(self.file), line + self.skipped, column, key, message, fix, severity)

    def syntax_problem(self, error: BadYaml) -> Problem:
        """The place where the YAML stops being readable."""
        fix = "Check the indentation and the quotes there; text with ': ' or ' #' in it needs quotes."
        return Problem(str(self.file), error.line + self.skipped, error.column, "", error.message, fix)


class Unreadable(ValueError):
    """A file is not text as a pack needs it; carries its problem."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


def read_document(file: Path) -> Document:
    """Read one .yaml or .md file; raises Unreadable when it is not UTF-8 text or has no YAML part."""
    raw = file.read_bytes()
    sha = hashlib.sha256(raw).hexdigest()
    text = _decode(file, raw)
    if file.suffix != ".md":
        return Document(file, text, 0, "", sha)
    yaml, body = _split(file, text)
    return Document(file, yaml, 1, body, sha)


def read_text(file: Path) -> str:
    """A text file as it stands, line ends made \\n; raises Unreadable when it is not UTF-8."""
    return _decode(file, file.read_bytes())


def _decode(file: Path, raw: bytes) -> str:
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        message = f"byte {raw[error.start]:#04x} is not UTF-8 text"
        raise Unreadable(Problem(str(file), line, 1, "", message, "Save the file as UTF-8.")) from error
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _split(file: Path, text: str) -> tuple[str, str]:
    lines = text.split("\n")
    fences = [number for number, line in enumerate(lines) if line.rstrip() == _FENCE][:2]
    if len(fences) < 2 or fences[0] != 0:
        missing = "first" if not fences or fences[0] != 0 else "closing"
        fix = "Put the YAML at the top of the file, between two lines that hold only ---."
        raise Unreadable(Problem(str(file), 1, 1, "", f"the {missing} --- line is missing", fix))
    return "\n".join(lines[1 : fences[1]]) + "\n", "\n".join(lines[fences[1] + 1 :]).strip()

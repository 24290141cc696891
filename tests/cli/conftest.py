"""The program itself, run in this process or in one of its own, away from the user's own store and settings."""

from __future__ import annotations

import io
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from triage.cli.app import run
from triage.cli.common import pack_folder
from triage.engine import Progress, assemble
from triage.matching.encode import Encodes
from triage.pack import Pack, load, scaffold
from triage.pipeline import Stages

from .mailbox import mbox

_OURS = ("PACK", "STORE", "USER", "ENCODER", "TRADE")


@dataclass(frozen=True)
class Ran:
    """What a command left: exit code, standard output, standard error."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


Triage = Callable[..., Ran]
Stocked = Callable[[Sequence[bytes]], None]


class Workshop:
    """Packs and engines made once for all commands of this process, as one long session of the program would.

    Only packs that no test changes are kept, and only until somebody edits the knowledge while the tests run; an engine
    belongs to the pack's content, the encoder and the cache folder.
    """

    def __init__(self, *unchanging: Path) -> None:
        self._unchanging = unchanging
        self._packs: dict[tuple[Path, int], Pack] = {}
        self._engines: dict[tuple[str, str, Path], Stages] = {}

    def load(self, root: Path) -> Pack:
        if root not in self._unchanging:
            return load(root)
        key = (root, self.edited())
        if key not in self._packs:
            self._packs[key] = load(root)
        return self._packs[key]

    def edited(self) -> int:
        """When a file of the packs, or of the trade they share, was last written."""
        return max(path.stat().st_mtime_ns for root in self._unchanging for path in root.rglob("*"))

    def assemble(self, pack: Pack, encoder: Encodes, cache: Path, progress: Progress = lambda _: None) -> Stages:
        key = (pack.digest, encoder.tag, cache)
        if key not in self._engines:
            self._engines[key] = assemble(pack, encoder, cache, progress)
        return self._engines[key]


@pytest.fixture(scope="session")
def workshop(small_shop: Path) -> Workshop:
    return Workshop(pack_folder(None), small_shop)


@pytest.fixture(autouse=True)
def surroundings(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, pytestconfig: pytest.Config, workshop: Workshop
) -> None:
    """No setting of the user's own counts; vectors are kept between runs, because only the first takes long."""
    monkeypatch.setattr("triage.cli.common.load", workshop.load)
    monkeypatch.setattr("triage.engine.assemble", workshop.assemble)
    for name in (*(f"TRIAGE_{name}" for name in _OURS), "COLUMNS", "FORCE_COLOR", "NO_COLOR"):
        monkeypatch.delenv(name, raising=False)
    if "TRIAGE_CACHE" not in os.environ:
        assert pytestconfig.cache is not None
        monkeypatch.setenv("TRIAGE_CACHE", str(pytestconfig.cache.mkdir("triage-vectors")))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("TRIAGE_STORE", str(tmp_path / "queue.db"))
    monkeypatch.setenv("TRIAGE_USER", "wyn")


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """The file of the queue that every command of a test uses."""
    return tmp_path / "queue.db"


@pytest.fixture(scope="session")
def small_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A pack with one vehicle and one answer: quick to load, for what does not hang on the answers."""
    folder = tmp_path_factory.mktemp("packs") / "small"
    scaffold(folder)
    return folder


@pytest.fixture
def triage(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Triage:
    """Run a command in this process; the exit code must be the one expected."""

    def running(*arguments: object, stdin: str | bytes = "", code: int = 0) -> Ran:
        data = stdin.encode() if isinstance(stdin, str) else stdin
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data), encoding="utf-8"))
        capsys.readouterr()
        ended = run([str(argument) for argument in arguments])
        out, err = capsys.readouterr()
        assert ended == code, f"exit code {ended}\n{out}\n{err}"
        assert "Traceback" not in err
        return Ran(ended, out, err)

    return running


@pytest.fixture(scope="session")
def kept_stores(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[tuple[object, ...], Path]]:
    """Stores filled once: what was taken in, and the file."""
    return tmp_path_factory.mktemp("stores"), {}


@pytest.fixture
def stocked(
    triage: Triage, store: Path, workshop: Workshop, kept_stores: tuple[Path, dict[tuple[object, ...], Path]]
) -> Stocked:
    """Make the test's store one that took these mails in and read them; the same mails are read once a session."""
    folder, known = kept_stores

    def stock(mails: Sequence[bytes]) -> None:
        key = (os.environ.get("TRIAGE_PACK"), workshop.edited(), *mails)
        if key not in known:
            filled = folder / f"{len(known)}.db"
            triage("take-in", "--store", filled, mbox(folder / f"{len(known)}.mbox", mails))
            known[key] = filled
        shutil.copy(known[key], store)

    return stock


def command(*arguments: object) -> list[str]:
    """The command line that starts the program in a process of its own."""
    return [sys.executable, "-c", "from triage.cli import main; main()", *map(str, arguments)]


@pytest.fixture
def process() -> Iterator[Callable[..., subprocess.Popen[str]]]:
    """Start the program in a process of its own; what still runs at the end of a test is ended."""
    started: list[subprocess.Popen[str]] = []

    def start(*arguments: object, env: Mapping[str, str] | None = None, **options: Any) -> subprocess.Popen[str]:
        pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "stdin": subprocess.DEVNULL} | options
        child = subprocess.Popen(command(*arguments), text=True, env={**os.environ, **(env or {})}, **pipes)
        started.append(child)
        return child

    yield start
    for child in started:
        if child.poll() is None:
            child.kill()
        child.communicate()


def ended(child: subprocess.Popen[str], seconds: float = 120) -> Ran:
    """Wait for a process and give what it left."""
    out, err = child.communicate(timeout=seconds)
    assert "Traceback" not in (err or ""), err
    return Ran(child.returncode, out or "", err or "")

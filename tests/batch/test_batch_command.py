"""triage batch on the demo mailbox: the readings are those of `triage read`, and the same command goes on."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from triage.cli.app import run
from triage.cli.common import pack_folder
from triage.contract import reading_to_json
from triage.engine import open_engine
from triage.intake import read_source
from triage.model import Message, Question
from triage.pipeline import read

DEMO = Path(__file__).parents[2] / "corpus_demo"
SOURCES = (DEMO / "eml", DEMO / "phone_notes.txt")


@pytest.fixture(scope="module")
def cache(pytestconfig: pytest.Config) -> Path:
    assert pytestconfig.cache is not None
    return pytestconfig.cache.mkdir("triage-vectors")


@pytest.fixture(scope="module")
def batch(cache: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's single mails and phone notes, read by one worker."""
    to = tmp_path_factory.mktemp("batch")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRIAGE_CACHE", str(cache))
        assert command(to) == 0
    return to


def command(to: Path, *more: str) -> int:
    return run(["batch", *map(str, SOURCES), "--to", str(to), "--workers", "1", "--part", "20", *more])


def lines(to: Path) -> list[dict[str, object]]:
    return [json.loads(line) for file in sorted(to.glob("part-*")) for line in file.read_text("utf-8").splitlines()]


def test_there_is_a_line_for_everything_that_arrived_in_its_order(batch: Path) -> None:
    arrived = [item for source in SOURCES for item in read_source(source)]
    expected = [item.id if isinstance(item, Message) else item.source for item in arrived]
    assert [line.get("message", line.get("source")) for line in lines(batch)] == expected
    assert all("set_aside" in line or "readings" in line for line in lines(batch))


def test_a_reading_is_what_the_program_reads_of_one_question(batch: Path, cache: Path) -> None:
    stages = open_engine(pack_folder(None), cache=cache)
    found = [reading for line in lines(batch) for reading in line.get("readings", [])]
    assert len(found) > 20
    for record in found[:5]:
        alone = reading_to_json(read(Question(record["id"], record.pop("text")), stages))
        assert record["facts"] == json.loads(json.dumps(alone["facts"]))
        assert record.keys() == alone.keys() - {"draft", "timing_ms"}


def test_the_same_command_again_reads_nothing_anew(batch: Path, cache: Path, monkeypatch, capsys) -> None:
    monkeypatch.setenv("TRIAGE_CACHE", str(cache))
    before = {file: file.stat().st_mtime_ns for file in batch.glob("part-*")}
    assert command(batch) == 0
    assert f"0 messages read (0.0 a second), {len(lines(batch))} read before" in capsys.readouterr().out
    assert {file: file.stat().st_mtime_ns for file in batch.glob("part-*")} == before


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("--drafts",), "was begun with drafts False and not True"),
        (("--cluster", "tcp://127.0.0.1:9"), "No Dask scheduler answers"),
    ],
)
def test_what_cannot_go_on_is_said_in_a_line(
    batch: Path, cache: Path, monkeypatch, capsys, more: tuple[str, ...], says: str
) -> None:
    if "--cluster" in more:
        pytest.importorskip("distributed")
        monkeypatch.setattr("triage.batch.pool.PATIENCE", 0.5)
    monkeypatch.setenv("TRIAGE_CACHE", str(cache))
    assert command(batch, *more) == 1
    assert says in capsys.readouterr().err


def test_an_empty_source_is_said(tmp_path: Path, cache: Path, monkeypatch: pytest.MonkeyPatch, capsys) -> None:
    monkeypatch.setenv("TRIAGE_CACHE", str(cache))
    (tmp_path / "empty.mbox").write_bytes(b"")
    assert run(["batch", str(tmp_path / "empty.mbox"), "--to", str(tmp_path / "to")]) == 0
    assert "Nothing is in the sources" in capsys.readouterr().out

"""triage staff: who may sign in."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from triage.bench.safety.passwords import fits
from triage.cli.app import run
from triage.store import NotFound, Role, Store, StoreError

from .post import NOW

PASSWORD = "four words make it"


@pytest.fixture
def queue(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "queue.db"
    monkeypatch.setenv("TRIAGE_STORE", str(path))
    monkeypatch.setenv("TRIAGE_USER", "Ann")
    return path


def staff(monkeypatch: pytest.MonkeyPatch, *words: str, password: str = PASSWORD) -> int:
    monkeypatch.setattr("sys.stdin", io.StringIO(password + "\n"))
    return run(["staff", *words])


def test_somebody_is_added_given_a_role_and_removed(queue: Path, monkeypatch, capsys) -> None:
    assert staff(monkeypatch, "add", "Wyn Harrow", "--role", "host") == 0
    assert staff(monkeypatch, "role", "wyn harrow", "editor") == 0
    capsys.readouterr()
    assert staff(monkeypatch, "list", "--json") == 0
    (told,) = json.loads(capsys.readouterr().out)
    assert (told["name"], told["role"]) == ("Wyn Harrow", "editor")
    assert "password" not in told
    assert staff(monkeypatch, "remove", "WYN HARROW") == 0
    staff(monkeypatch, "list")
    assert "Nobody yet" in capsys.readouterr().out


def test_passwords_are_kept_hashed_and_stand_in_no_history_or_export(queue: Path, monkeypatch, capsys) -> None:
    staff(monkeypatch, "add", "Wyn")
    staff(monkeypatch, "password", "Wyn", password="a second long one")
    with Store.open(queue, now=lambda: NOW) as store:
        member = store.staff.find("wyn")
        entries = store.history(None)
        key = store.staff.key("cookies")
    assert fits("a second long one", member.password)
    assert not fits(PASSWORD, member.password)
    assert {entry.by for entry in entries} == {"Ann"}
    assert "argon2" not in repr((member, entries))
    assert key not in repr(entries)
    for file in queue.parent.iterdir():
        assert PASSWORD.encode() not in file.read_bytes()


@pytest.mark.parametrize(
    ("words", "password", "says"),
    [
        (("add", "Wyn"), "short", "10 to 200 characters"),
        (("add", "Bea"), PASSWORD, "There is a 'Bea' already"),
        (("add", "bea"), PASSWORD, "There is a 'bea' already"),
        (("add", "  "), PASSWORD, "is not a name"),
        (("add", "x" * 61), PASSWORD, "is not a name"),
        (("role", "Nobody", "host"), PASSWORD, "Those who may sign in: Bea"),
        (("remove", "Nobody"), PASSWORD, "There is no 'Nobody'"),
        (("password", "Nobody"), PASSWORD, "There is no 'Nobody'"),
    ],
)
def test_what_cannot_be_done_is_said_in_a_line(queue: Path, monkeypatch, capsys, words, password, says) -> None:
    staff(monkeypatch, "add", "Bea")
    assert staff(monkeypatch, *words, password=password) == 1
    assert says in capsys.readouterr().err


def test_names_are_found_in_any_case_and_spacing(tmp_path: Path) -> None:
    with Store.open(tmp_path / "queue.db", now=lambda: NOW) as store:
        store.staff.add("Zoë  Ünal", Role.STAFF, "hash", by="test")
        assert store.staff.find("ZOË ÜNAL").name == "Zoë Ünal"
        assert store.staff.find("Zoe Unal") is None
        with pytest.raises(StoreError, match="already"):
            store.staff.add("zoë ünal", Role.HOST, "hash", by="test")
        with pytest.raises(NotFound):
            store.staff.set_role("Bo", Role.HOST, by="test")


def test_a_store_has_one_key_for_good_and_another_store_another(tmp_path: Path) -> None:
    keys = []
    for name in ("a.db", "a.db", "b.db"):
        with Store.open(tmp_path / name, now=lambda: NOW) as store:
            keys.append(store.staff.key("cookies"))
    assert keys[0] == keys[1] != keys[2]
    assert len(keys[0]) >= 40

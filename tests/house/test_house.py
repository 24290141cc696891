"""The house in order: generated docs are fresh, every module says what it is for, every dependency why it is there."""

from __future__ import annotations

import ast
import json
import re
from pathlib import Path

import pytest

from . import commands, parts

ROOT = Path(__file__).parents[2]
MODULES = sorted((*(ROOT / "triage").rglob("*.py"), *(ROOT / "eval").rglob("*.py")))


def test_the_page_of_commands_is_what_the_program_prints() -> None:
    assert commands.PAGE.read_text(encoding="utf-8") == commands.page(), "stale: run `make docs`"


def test_every_command_has_help_and_every_option_a_word() -> None:
    import click
    import typer

    def walk(command: click.Command, name: str) -> None:
        assert command.help, name
        for option in command.params:
            told = getattr(option, "help", None) or option.name in ("help", "file", "thread", "store")
            assert told, f"{name}: {option.name} has no help"
        for below in command.commands.values() if isinstance(command, click.Group) else ():
            walk(below, f"{name} {below.name}")

    walk(typer.main.get_command(commands.app), "triage")


@pytest.mark.parametrize("module", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_module_says_in_its_first_line_what_it_is_for(module: Path) -> None:
    told = ast.get_docstring(ast.parse(module.read_text(encoding="utf-8")))
    assert told and len(told.splitlines()[0]) >= 15
    assert module.read_text(encoding="utf-8").startswith('"""')


def test_every_dependency_says_what_it_is_for_and_is_pinned() -> None:
    names = [re.split(r"[<>=\[ ]", line)[0].lower() for line in parts.dependencies()]
    assert all("==" in line for line in parts.dependencies())
    assert {name for name in names if len(parts.reasons().get(name, "")) < 5} == set()


def test_every_dependency_is_used() -> None:
    """An import of the package somewhere in the program, lazily or not."""
    called = {"argon2-cffi": "argon2", "charset-normalizer": "charset_normalizer", "python-multipart": "starlette",
              "pyyaml": "yaml", "scikit-learn": "sklearn", "sqlite-utils": "sqlite_utils"}  # fmt: skip
    text = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "triage").rglob("*.py"))
    names = [re.split(r"[<>=\[ ]", line)[0].lower() for line in parts.dependencies()]
    imported = {name: called.get(name, name) for name in names}
    unused = [name for name, module in imported.items() if not re.search(rf"(?:from|import) {module}\b", text)]
    assert unused == []


def test_the_bill_of_materials_lists_what_pyproject_names() -> None:
    listed = {part["name"].lower().replace("_", "-"): part["version"] for part in _bill()["components"]}
    pinned = dict(line.lower().replace("_", "-").split("==") for line in parts.dependencies())
    assert {name: listed.get(name) for name in pinned} == pinned, "stale: run `make bill`"


def test_every_part_is_in_the_table_of_licences_and_none_forbids_our_use() -> None:
    rows = (ROOT / "docs" / "licences.md").read_text(encoding="utf-8")
    for part in _bill()["components"]:
        assert f"| {part['name']} | {part['version']} |" in rows, "stale: run `make bill`"
        if choices := _choices(part):
            assert not all(re.match(r"A?GPL|GNU (?:Affero )?General", choice) for choice in choices), part["name"]


def _choices(part: dict) -> list[str]:
    """The licences a package may be used under: pyphen, for one, under any of three."""
    return re.split(r" / | OR ", parts.licence_of(part))


def _bill() -> dict:
    return json.loads(parts.BILL.read_text(encoding="utf-8"))

"""docs/commands.md: the help of every command, as the program prints it: python -m tests.house.commands"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click
import typer

from triage.cli.app import app

PAGE = Path(__file__).parents[2] / "docs" / "commands.md"
_HEAD = """# The commands

What `triage COMMAND --help` prints. Written by `make docs`; a test tells when it is stale.
"""
_WIDTH = 100


def page() -> str:
    """The page as it should be."""
    parts = [f"\n## {name}\n\n```\n{help}\n```\n" for name, help in _helps(typer.main.get_command(app), "triage", None)]
    return _HEAD + "".join(parts)


def _helps(command: click.Command, name: str, parent: click.Context | None) -> Iterator[tuple[str, str]]:
    """Name and help of a command and of those below it, in the order of the help."""
    settings = {**command.context_settings, "terminal_width": _WIDTH, "max_content_width": _WIDTH}
    context = click.Context(command, info_name=name.split()[-1], parent=parent, **settings)
    yield name, _same_everywhere(command.get_help(context))
    for below in command.list_commands(context) if isinstance(command, click.Group) else ():
        found = command.get_command(context, below)
        assert found is not None
        yield from _helps(found, f"{name} {below}", context)


def _same_everywhere(text: str) -> str:
    """Without blanks at the ends of lines."""
    return "\n".join(line.rstrip() for line in text.splitlines())


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")

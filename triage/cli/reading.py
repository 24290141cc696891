"""triage read: one question, or a batch."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any

import typer

from triage.cli.common import EncoderOption, JsonOption, PackOption, open_stages, print_json
from triage.contract import reading_to_json
from triage.model import Question
from triage.pipeline import Stages, read


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("read")(read_command)


def read_command(
    file: Annotated[Path | None, typer.Argument(help="A text file; without it, text on standard input.")] = None,
    subject: Annotated[str, typer.Option(help="Subject line, if there is one.")] = "",
    asker: Annotated[str, typer.Option("--from", help="Name of the asker, for the greeting.")] = "",
    jsonl: Annotated[Path | None, typer.Option(help='Batch: one {"id", "text", "subject"?} per line.')] = None,
    out: Annotated[Path | None, typer.Option(help="Batch: where the readings go, one JSON line each.")] = None,
    as_json: JsonOption = False,
    pack: PackOption = None,
    encoder: EncoderOption = "",
) -> None:
    """Read one question: facts, conflicts, gaps, matches, checks, dangers and a draft. Keeps nothing."""
    if (jsonl is None) != (out is None):
        raise typer.BadParameter("--jsonl and --out belong together.")
    if jsonl and out:
        read_batch(jsonl, out, open_stages(pack, encoder))
        return
    text = _text_of(file)
    reading = read(Question("question", text, subject, asker), open_stages(pack, encoder))
    if as_json:
        print_json(reading_to_json(reading))
    else:
        from triage.cli.show import show_reading

        show_reading(reading, text)


def _text_of(file: Path | None) -> str:
    if file is None and sys.stdin.isatty():
        print("Type or paste the question; end with Ctrl-D.", file=sys.stderr)
    raw = file.read_bytes() if file else sys.stdin.buffer.read()
    text = raw.decode("utf-8", errors="replace").replace("\0", " ")
    if not text.strip():
        raise ValueError(f"{file or 'standard input'}: there is no text to read.")
    return text


def read_batch(source: Path, target: Path, stages: Stages) -> int:
    """Read every line of a JSONL file; the target appears whole or not at all. Returns the number of lines."""
    from rich.console import Console
    from rich.progress import track

    lines = list(_questions(source))
    temporary = target.with_name(target.name + ".part")
    try:
        with temporary.open("w", encoding="utf-8") as out:
            console = Console(stderr=True)
            for question in track(lines, "Reading", console=console, disable=not console.is_terminal):
                out.write(json.dumps(reading_to_json(read(question, stages)), ensure_ascii=False) + "\n")
        os.replace(temporary, target)
    finally:
        temporary.unlink(missing_ok=True)
    print(f"{len(lines)} questions read into {target}", file=sys.stderr)
    return len(lines)


def _questions(source: Path) -> Iterator[Question]:
    with source.open(encoding="utf-8-sig", errors="replace") as lines:
        for number, line in enumerate(lines, start=1):
            if line.strip():
                yield _question(line, f"{source}:{number}")


def _question(line: str, where: str) -> Question:
    try:
        data: Any = json.loads(line)
    except json.JSONDecodeError as error:
        raise ValueError(f"{where}:{error.colno}: not JSON ({error.msg}). Each line is one object.") from error
    if not isinstance(data, dict) or not isinstance(data.get("text"), str):
        raise ValueError(f'{where}: no "text". Each line is an object like {{"id": "q1", "text": "..."}}.')
    return Question(
        str(data.get("id", where)), data["text"], str(data.get("subject") or ""), str(data.get("from") or "")
    )

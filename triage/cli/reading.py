"""triage read: one question, or a batch."""

from __future__ import annotations

import json
import os
import re
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Annotated, Any, TextIO

import typer

from triage.cli.common import (
    EncoderOption,
    JsonOption,
    PackOption,
    StyleOption,
    counted,
    open_pack,
    open_stages,
    print_json,
)
from triage.cli.errors import naming
from triage.contract import reading_to_json
from triage.intake.decode import decode
from triage.model import Question
from triage.pipeline import Stages, read
from triage.reply import Style
from triage.unusable import Unusable

LARGEST = 1_000_000  # bytes; a question of a hundred pages is something else
_CONTROLS = re.compile(r"[\x01-\x08\x0e-\x1f\x7f-\x9f\ufffd]")
_SURROGATES = re.compile(r"[\ud800-\udfff]")
_SHOWN = 10  # broken lines named at once


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("read")(read_command)


def read_command(
    file: Annotated[Path | None, typer.Argument(help="A text file; without it, text on standard input.")] = None,
    subject: Annotated[str, typer.Option(help="Subject line, if there is one.")] = "",
    asker: Annotated[str, typer.Option("--from", help="Name of the asker, for the greeting.")] = "",
    jsonl: Annotated[Path | None, typer.Option(help='Batch: one {"id", "text", "subject"?} per line.')] = None,
    out: Annotated[Path | None, typer.Option(help="Batch: where the readings go, one JSON line each.")] = None,
    style: StyleOption = None,
    as_json: JsonOption = False,
    pack: PackOption = None,
    encoder: EncoderOption = "",
) -> None:
    """Read one question and draft a reply. Nothing is kept."""
    if jsonl or out:
        source, target = _batch_of(jsonl, out, file)
        read_batch(source, target, pack, encoder, style or "mail")
        return
    text = _text_of(file)
    stages = open_stages(open_pack(pack), encoder)
    reading = read(Question("question", text, subject, asker), stages, style=style or "mail")
    if as_json:
        print_json(reading_to_json(reading))
    else:
        from triage.cli.show import show_reading

        show_reading(reading, text, stages.pack)


def _batch_of(jsonl: Path | None, out: Path | None, file: Path | None) -> tuple[Path, Path]:
    if not jsonl or not out:
        raise typer.BadParameter("--jsonl and --out belong together: --jsonl IN.jsonl --out OUT.jsonl")
    if file:
        raise typer.BadParameter(f"give either a text ({file}) or a batch (--jsonl), not both.")
    if jsonl.resolve() == out.resolve():
        raise typer.BadParameter(f"--out would overwrite the questions in {jsonl}; name another file.")
    return jsonl, out


def _text_of(file: Path | None) -> str:
    if file is None and sys.stdin.isatty():
        print("Type or paste the question; end with Ctrl-D.", file=sys.stderr)
    where = str(file or "standard input")
    text = decode(_bytes_of(file, where), "utf-8").text
    if not text.strip("\0 \t\r\n\f\v"):
        raise Unusable(f"{where}: there is no text to read. Give a file with the question, or type it in.")
    if len(_CONTROLS.findall(text)) > len(text) / 10:
        raise Unusable(f"{where}: is not text (it looks like a picture or a program). Give the words of the question.")
    return text.replace("\0", " ")


def _bytes_of(file: Path | None, where: str) -> bytes:
    if file and " " in where and not file.exists():
        raise Unusable(f"There is no file '{where}'. To read words instead of a file: echo 'THE WORDS' | triage read")
    with naming(Path(where)):
        if file is None:
            raw = sys.stdin.buffer.read(LARGEST + 1)
        else:
            with file.open("rb") as opened:
                raw = opened.read(LARGEST + 1)
    if len(raw) > LARGEST:
        raise Unusable(
            f"{where}: holds more than {LARGEST / 1e6:.0f} MB, too much for one question. "
            "For a mailbox or a mail with attachments: triage take-in FILE"
        )
    return raw


def read_batch(source: Path, target: Path, pack: Path | None, encoder: str, style: Style = "mail") -> None:
    """Read every line of a JSONL file; the target appears whole or not at all."""
    from rich.console import Console
    from rich.progress import track

    questions = questions_of(source)
    stages = open_stages(open_pack(pack), encoder)
    console = Console(stderr=True)
    shown = track(questions, "Reading", console=console, disable=not console.is_terminal)
    temporary = target.with_name(target.name + ".part")
    with naming(target):
        try:
            with temporary.open("w", encoding="utf-8") as out:
                _write_readings(shown, stages, style, out)
            os.replace(temporary, target)
        finally:
            temporary.unlink(missing_ok=True)
    print(f"{counted(len(questions), 'question')} read into {target}", file=sys.stderr)


def _write_readings(questions: Iterable[Question], stages: Stages, style: Style, out: TextIO) -> None:
    for question in questions:
        out.write(json.dumps(reading_to_json(read(question, stages, style=style)), ensure_ascii=False) + "\n")


def questions_of(source: Path) -> list[Question]:
    """The questions of a JSONL file. Raises Unusable naming the broken lines, each with its column."""
    found = list(_lines(source))
    broken = [item for item in found if isinstance(item, str)]
    if broken:
        more = [f"and {len(broken) - _SHOWN} more lines"] if len(broken) > _SHOWN else []
        raise Unusable("\n".join([*broken[:_SHOWN], *more, "Nothing was read. Mend these lines, then try again."]))
    return [item for item in found if isinstance(item, Question)]


def _lines(source: Path) -> Iterator[Question | str]:
    with naming(source), source.open(encoding="utf-8-sig", errors="replace") as lines:
        for number, line in enumerate(lines, start=1):
            if line.strip():
                yield _question(line, f"{source}:{number}")


def _question(line: str, where: str) -> Question | str:
    """The question of a line, or what is wrong with it."""
    try:
        data: Any = json.loads(line.rstrip("\r\n"))
    except json.JSONDecodeError as error:
        return f"{where}:{error.colno}: not JSON ({error.msg}). Each line is one object."
    except RecursionError:
        return f"{where}:1: not a question, but brackets in brackets without end."
    if not isinstance(data, dict) or not isinstance(data.get("text"), str):
        return f'{where}:1: no "text". Each line is an object like {{"id": "q1", "text": "..."}}.'
    id, text, subject, asker = (_encodable(data.get(key)) for key in ("id", "text", "subject", "from"))
    return Question(id or where, text, subject, asker)


def _encodable(value: object) -> str:
    """As text that can be written; half a character ("\\ud800") becomes a replacement of the same length."""
    return _SURROGATES.sub("\ufffd", "" if value is None else str(value))

"""Options that every command shares, and the doors to pack, engine and store."""

from __future__ import annotations

import getpass
import json
import os
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Any

import typer
from platformdirs import user_data_path

from triage.cli.errors import NoStore, naming
from triage.pack import Pack, load
from triage.pipeline import Stages
from triage.reply import Style
from triage.store import Store, StoreError
from triage.unusable import Unusable

PackOption = Annotated[
    Path | None,
    typer.Option("--pack", envvar="TRIAGE_PACK", help="Folder of the shop's knowledge; else the demo shop."),
]
StoreOption = Annotated[
    Path | None, typer.Option("--store", envvar="TRIAGE_STORE", help="File of the queue; else one in your data folder.")
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print JSON for scripts.")]
EncoderOption = Annotated[
    str,
    typer.Option(
        "--encoder", envvar="TRIAGE_ENCODER", help="A sentence-transformers model; else the one that comes along."
    ),
]
ByOption = Annotated[str, typer.Option("--by", envvar="TRIAGE_USER", help="Who does it; else your login name.")]
StyleOption = Annotated[
    Style | None, typer.Option("--style", help="A mail, a short chat message, or words to be read out.")
]
ThreadArgument = Annotated[int, typer.Argument(metavar="THREAD", help="Number of the thread, as the queue shows it.")]


def now() -> datetime:
    """The clock, read here and nowhere below."""
    return datetime.now(UTC)


def pack_folder(given: Path | None) -> Path:
    """The pack named, else the demo pack that comes with the program."""
    if given is not None:
        return given
    inside = Path(__file__).resolve().parents[1] / "knowledge"
    return inside if inside.is_dir() else Path(__file__).resolve().parents[2] / "knowledge"


def open_pack(given: Path | None) -> Pack:
    """The pack, loaded and checked."""
    return load(pack_folder(given))


def open_stages(pack: Pack, encoder: str = "") -> Stages:
    """The pack with its models, ready to read."""
    from triage.engine import assemble, cache_folder
    from triage.matching.encode import encoder_for

    return assemble(pack, encoder_for(encoder), cache_folder(), lambda text: print(text + " ...", file=sys.stderr))


def open_store(given: Path | None, *, create: bool = False) -> Store:
    """The queue named, else the one in the user's data folder. Raises NoStore, StoreBusy or StoreFull."""
    path = given or user_data_path("cart-triage") / "queue.db"
    if create:
        with naming(path.parent):
            path.parent.mkdir(parents=True, exist_ok=True)
    try:
        return Store.open(path, now=now, create=create)
    except StoreError as error:
        if type(error) is StoreError:
            raise NoStore(str(error)) from error
        raise


def who(by: str) -> str:
    """The name that signs a change."""
    if by.strip():
        return by.strip()
    try:
        return getpass.getuser()
    except (KeyError, OSError):
        return os.environ.get("USER") or "somebody"


def words_of(text: str) -> str:
    """What was given on the command line; "-" stands for standard input. Raises Unusable when there are no words."""
    words = (sys.stdin.read() if text == "-" else text).strip()
    if not words:
        raise Unusable("There are no words. Give them in quotes, or '-' and the words on standard input.")
    return words


def counted(number: int, thing: str) -> str:
    """ "1 thread", "2 threads"."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def print_json(value: Any) -> None:
    """One JSON document on stdout; plain ASCII where the output cannot show other characters."""
    readable = (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"
    print(json.dumps(value, ensure_ascii=not readable, indent=2, default=_plain))


def _plain(value: object) -> str:
    return value.isoformat() if isinstance(value, datetime) else str(value)

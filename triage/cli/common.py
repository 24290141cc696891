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

from triage.engine import open_engine
from triage.pack import Pack, load
from triage.pipeline import Stages
from triage.store import Store

PackOption = Annotated[
    Path | None,
    typer.Option("--pack", envvar="TRIAGE_PACK", help="Folder of the shop's knowledge pack.", show_default=False),
]
StoreOption = Annotated[
    Path | None, typer.Option("--store", envvar="TRIAGE_STORE", help="File of the queue.", show_default=False)
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print JSON for scripts.")]
EncoderOption = Annotated[
    str,
    typer.Option(
        "--encoder", envvar="TRIAGE_ENCODER", help="A sentence-transformers model instead of the shipped one."
    ),
]
ByOption = Annotated[str, typer.Option("--by", envvar="TRIAGE_USER", help="Who does it; your login name if not given.")]
ThreadArgument = Annotated[int, typer.Argument(help="Number of the thread, as the queue shows it.")]


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


def open_stages(given: Path | None, encoder: str = "") -> Stages:
    """The pack with its models, ready to read."""
    return open_engine(pack_folder(given), encoder=encoder, progress=lambda text: print(text + " ...", file=sys.stderr))


def open_store(given: Path | None, *, create: bool = True) -> Store:
    """The queue named, else the one in the user's data folder."""
    path = given or user_data_path("cart-triage") / "queue.db"
    if create:
        path.parent.mkdir(parents=True, exist_ok=True)
    return Store.open(path, now=now, create=create)


def who(by: str) -> str:
    """The name that signs a change."""
    if by:
        return by
    try:
        return getpass.getuser()
    except (KeyError, OSError):
        return os.environ.get("USER", "somebody")


def print_json(value: Any) -> None:
    """One JSON document on stdout."""
    print(json.dumps(value, ensure_ascii=False, indent=2, default=str))

"""Any bytes as a file of a pack, or as a sheet to import: taken, or refused with every problem named."""

from __future__ import annotations

import shutil
from pathlib import Path
from tempfile import mkdtemp

from pack.conftest import SHOP, TRADE, write

from triage.pack import PackError, load
from triage.pack.importing import import_tables

from .targets import Target

SHEETS = ("vehicles.csv", "answers.csv")
FILES = (*(f"shop/{name}" for name in SHOP), *(f"trade/{name}" for name in TRADE), *SHEETS)


def make() -> Target:
    folder = Path(mkdtemp(prefix="packs-"))
    write(folder / "shop", SHOP)
    write(folder / "trade", TRADE)

    def one(data: bytes) -> None:
        name = FILES[data[0] % len(FILES)] if data else FILES[0]
        file = folder / name
        before = file.read_bytes() if file.exists() else b""
        file.write_bytes(data[1:])
        try:
            _import(folder, name) if name in SHEETS else load(folder / "shop", trade=folder / "trade")
        except PackError as refusal:
            assert refusal.problems and str(refusal)
        finally:
            file.write_bytes(before)

    return one


def _import(folder: Path, name: str) -> None:
    target = folder / "imported"
    given = {"vehicles": None, "answers": None, name.removesuffix(".csv"): folder / name}
    try:
        import_tables(given["vehicles"], given["answers"], target, trade=folder / "trade")
    except PackError:
        assert not target.exists(), "something half-written is left behind"
        raise
    load(target, trade=folder / "trade")  # what was imported without a complaint can be used
    shutil.rmtree(target)

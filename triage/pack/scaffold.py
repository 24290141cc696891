"""A tiny complete shop to start from."""

from __future__ import annotations

import shutil
from pathlib import Path

from triage.pack.atomic import new_folder

_EXAMPLE = Path(__file__).parent / "new_shop"


def scaffold(target: Path) -> None:
    """Make `target` a pack with one vehicle and one answer, whose comments say what to do next.

    Raises PackError when `target` exists and is not an empty folder.
    """
    with new_folder(target) as work:
        shutil.copytree(_EXAMPLE, work, dirs_exist_ok=True, copy_function=shutil.copyfile)


def shop_file() -> str:
    """The shop.yaml of a new shop, with its comments."""
    return (_EXAMPLE / "shop" / "shop.yaml").read_text(encoding="utf-8")

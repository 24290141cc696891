"""The shipped models and weights are those that were built: a damaged one would read wrongly without a word."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from pathlib import Path

HERE = Path(__file__).parent
LIST = "shipped.json"  # written when the program is packed; a source tree has none, and its versions are git's
_KINDS = ("**/*.onnx", "**/*.npz", "matching/encoder/*.json", "matching/ranker.json", "safety/weights.json")


def digests(package: Path = HERE) -> dict[str, str]:
    """SHA-256 of every file that was learnt or converted, by its place in the package."""
    return {file.relative_to(package).as_posix(): _digest(file) for file in sorted(_learnt(package))}


def check(package: Path = HERE) -> None:
    """Hold the shipped files against the list made when the program was packed. Raises Unusable naming each."""
    listed = package / LIST
    if not listed.is_file():
        return
    expected: dict[str, str] = json.loads(listed.read_text(encoding="utf-8"))
    wrong = [name for name, digest in expected.items() if _digest(package / name) != digest]
    if wrong:
        from triage.unusable import Unusable  # here, because the build runs this file before the program is there

        raise Unusable(
            f"{', '.join(str(package / name) for name in wrong)}: missing or damaged. Install the program again; your "
            "queue, mail and pack are not touched by that."
        )


def _learnt(package: Path) -> Iterator[Path]:
    for kind in _KINDS:
        yield from package.glob(kind)


def _digest(file: Path) -> str:
    try:
        with file.open("rb") as content:
            return hashlib.file_digest(content, "sha256").hexdigest()
    except OSError:
        return ""

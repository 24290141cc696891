"""Run one target under atheris: python -m tests.fuzz NAME [--found DIR] [libFuzzer options].

What goes wrong is written to DIR and the run goes on, each place in the program once: an hour finds more than its
first mistake. Needs the extra `fuzz`. libFuzzer's own lines tell coverage, speed and memory.
"""

from __future__ import annotations

import hashlib
import sys
import traceback
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import atheris

with atheris.instrument_imports(include=["triage", "email", "yaml", "inscriptis", "python_multipart"]):
    from fuzz.targets import CORPUS, LONGEST, NAMES, Target, fed, target

    NAME = sys.argv[1] if len(sys.argv) > 1 else ""
    if NAME not in NAMES:
        sys.exit(f"Name a target: {', '.join(NAMES)}")
    ONE = target(NAME)


def main() -> None:
    options = sys.argv[2:]
    found = Path("fuzz-found")
    if "--found" in options:
        at = options.index("--found")
        found = Path(options[at + 1])
        del options[at : at + 2]
    grown = found / NAME / "inputs"  # libFuzzer writes what reached something new into the first folder it is given
    grown.mkdir(parents=True, exist_ok=True)
    usual = [f"-max_len={LONGEST}", "-timeout=60", "-rss_limit_mb=3000", str(grown), str(CORPUS / NAME)]
    atheris.Setup([sys.argv[0], *options, *usual], collecting(ONE, found / NAME))
    atheris.Fuzz()


def collecting(one: Target, folder: Path) -> Target:
    """The target, which writes what went wrong beside its input instead of ending the run."""
    known: set[str] = set()

    def wrapped(data: bytes) -> None:
        try:
            fed(one, data)
        except Exception as error:
            place = _place(error)
            if place not in known:
                known.add(place)
                _keep(folder, place, data, error)

    return wrapped


def _place(error: Exception) -> str:
    frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if "/triage/" in frame.filename] or list(frames)
    return f"{type(error).__name__} {own[-1].filename}:{own[-1].lineno}"


def _keep(folder: Path, place: str, data: bytes, error: Exception) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    name = hashlib.sha256(data).hexdigest()[:12]
    (folder / f"{name}.bin").write_bytes(data)
    told = "".join(traceback.format_exception(error))
    (folder / f"{name}.txt").write_text(f"{place}\n{told}", encoding="utf-8", errors="replace")
    print(f"FOUND {place}: {error!s:.200}", file=sys.stderr, flush=True)


main()

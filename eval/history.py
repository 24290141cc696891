"""How fast a large history is read, and what memory that takes: python -m eval.history DIR [--messages N] [--workers N]

Makes a mailbox by varying the demo mails (years, ids, dates), reads it with `triage batch`, and says what a million
messages would take. Ended by --seconds, the same command goes on; each stretch is entered in DIR/stretches.jsonl.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime
from pathlib import Path

from triage.intake import mbox

DEMO = Path(__file__).parents[1] / "corpus_demo" / "inbox.mbox"
_YEAR = re.compile(rb"\b(?:19[89]|20[012])\d\b")
_ID = re.compile(rb"<([^<>@\s]+)@([^<>@\s]+)>")
_DATE = re.compile(rb"(?m)^Date:.*$")
_MILLION = 1_000_000


def varied(count: int, seed: int = 2026) -> Iterator[bytes]:
    """So many mails: the demo mails round after round, each round with other years, ids and dates."""
    with DEMO.open("rb") as file:
        mails = [raw.data for raw in mbox.messages(file)]
    dice, sent = random.Random(seed), datetime(2016, 11, 25, tzinfo=UTC)
    for number in range(count):
        sent += timedelta(seconds=dice.randrange(600))
        tail = b"-%d" % (number // len(mails))
        head, line, body = mails[number % len(mails)].partition(b"\n\n")
        head = _ID.sub(rb"<\1" + tail + rb"@\2>", head)
        head = _DATE.sub(b"Date: " + format_datetime(sent).encode(), head, count=1)
        yield head + line + _YEAR.sub(lambda found: b"%d" % dice.randrange(1996, 2025), body)


def write_mailbox(file: Path, count: int) -> None:
    """An mbox of varied mails."""
    with file.open("wb") as out:
        for mail in varied(count):
            out.write(
                b"From asker@mail.example Wed Nov 25 10:00:00 2026\n" + mail.replace(b"\nFrom ", b"\n>From ") + b"\n"
            )


def main() -> int:
    """One stretch of reading; then what all stretches come to."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("folder", type=Path)
    options.add_argument("--messages", type=int, default=20_000)
    options.add_argument("--workers", type=int, default=os.cpu_count())
    options.add_argument("--seconds", type=float, default=3600)
    given = options.parse_args()
    given.folder.mkdir(parents=True, exist_ok=True)
    mailbox = given.folder / f"{given.messages}.mbox"
    if not mailbox.exists():
        write_mailbox(mailbox, given.messages)
    stretch = _stretch(mailbox, given.folder / "readings", given.workers, given.seconds)
    if not stretch["messages"]:  # refused, or ended before its first part
        return 1
    with (given.folder / "stretches.jsonl").open("a", encoding="utf-8") as log:
        log.write(json.dumps(stretch) + "\n")
    _report(given.folder, given.workers)
    return 0


def _stretch(mailbox: Path, to: Path, workers: int, seconds: float) -> dict[str, float]:
    before, began = _messages(to), time.monotonic()
    command = [
        sys.executable,
        "-m",
        "triage.cli.app",
        "batch",
        str(mailbox),
        "--to",
        str(to),
        "--workers",
        str(workers),
    ]
    child, memory = subprocess.Popen(command), []
    ended = False
    while child.poll() is None:
        memory.append(_memory(child.pid))
        if time.monotonic() - began > seconds and not ended:
            ended = True
            child.send_signal(signal.SIGINT)
        time.sleep(1)
    taken, busy = time.monotonic() - began, _busy()
    thirds = [memory[len(memory) * n // 3 : len(memory) * (n + 1) // 3] or [0.0] for n in range(3)]
    return {
        "workers": workers, "messages": _messages(to) - before, "seconds": taken, "processor": busy,
        "highest_mib": max(memory), "second_third_mib": max(thirds[1]), "last_third_mib": max(thirds[2]),
    }  # fmt: skip


def _messages(folder: Path) -> int:
    ledger = folder / "ledger.jsonl"
    lines = ledger.read_text(encoding="utf-8").splitlines()[1:] if ledger.exists() else []
    return sum(json.loads(line)["messages"] for line in lines)


def _memory(pid: int) -> float:
    """MiB that the process and its children hold together (shared pages counted in each)."""
    pids = [pid, *(int(child) for task in Path(f"/proc/{pid}/task").glob("*/children") for child in _words(task))]
    pages = (_words(Path(f"/proc/{one}/statm")) for one in pids)
    return sum(int(words[1]) for words in pages if words) * os.sysconf("SC_PAGESIZE") / 2**20


def _words(file: Path) -> list[str]:
    try:
        return file.read_text().split()
    except OSError:  # ended meanwhile
        return []


def _busy() -> float:
    used = os.times()
    return used.children_user + used.children_system


def _report(folder: Path, workers: int) -> None:
    found = [json.loads(line) for line in (folder / "stretches.jsonl").read_text(encoding="utf-8").splitlines()]
    same = [one for one in found if one["workers"] == workers]
    messages, seconds, busy = (sum(one[name] for one in same) for name in ("messages", "seconds", "processor"))
    print(f"{messages} messages, {workers} workers, {len(same)} stretches: {seconds:.0f} s, {busy:.0f} s of processor")
    if messages:
        print(f"{messages / seconds:.1f} messages a second; {busy / messages * 1000:.1f} ms of processor each")
        hours = busy / messages * _MILLION / 3600
        print(f"a million messages: {hours:.1f} hours of one undisturbed core, {hours / 8:.1f} on eight")
    print(f"memory of all processes: highest {max(one['highest_mib'] for one in same):.0f} MiB")


if __name__ == "__main__":
    sys.exit(main())

"""Two hundred rounds in which the mailbox's work is ended by SIGKILL: python -m eval.mailbox_kill [--rounds N]

Needs Dovecot (apt-get install dovecot-imapd). Prints what was seen; ends with 1 when anything was wrong. With
`--without mark` or `--without folder` a guard is taken out, and the rounds must notice.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "mailbox"))

from killing import Found, Scene, run
from mail_server import started

from triage.pack import load, scaffold


def main() -> int:
    """Run the rounds and print the figures."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rounds", type=int, default=200)
    options.add_argument("--seed", type=int, default=2026)
    options.add_argument("--without", choices=["", "mark", "folder"], default="")
    given = options.parse_args()
    with started() as (server, folder):
        scaffold(folder / "pack")
        began = time.perf_counter()
        scene = Scene(server, folder / "queue.db", load(folder / "pack"), given.seed)
        found = run(scene, given.rounds, given.without, tell=_progress)
    _report(found, time.perf_counter() - began, given.without)
    return int(bool(found.wrong))


def _report(found: Found, seconds: float, without: str) -> None:
    print(f"{found.rounds} rounds in {seconds:.0f} s, guard taken out: {without or 'none'}")
    print(f"kills: {found.kills}, of which {found.ended_before_the_kill} came when the work had ended")
    print(f"messages: {found.messages}; threads with a draft laid: {found.drafts_laid}; mails sent: {found.sent}")
    print(f"wrong: {len(found.wrong)}")
    print("\n".join(found.wrong[:20]))


def _progress(found: Found) -> None:
    if found.rounds % 20 == 0:
        print(f"{found.rounds} rounds, {found.kills} kills, {len(found.wrong)} wrong ...", file=sys.stderr, flush=True)


if __name__ == "__main__":
    sys.exit(main())

"""How fast a large folder is taken in, and what watching costs: python -m eval.mailbox_speed [--messages N]

Needs Dovecot (apt-get install dovecot-imapd). Nothing is read by models: this measures mail, not reading.
"""

from __future__ import annotations

import argparse
import os
import resource
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "mailbox"))

from letters import many
from mail_server import PASSWORD, Dovecot, started
from shop_mailbox import PASSWORD_ENV, Clock, account_at

from triage.mailbox.incoming import take_in_folder
from triage.mailbox.server import Server
from triage.pack import Pack, load, scaffold
from triage.store import Store


def main() -> int:
    """Fill a folder, take it in, and print the figures."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--messages", type=int, default=10_000)
    options.add_argument("--watch", type=float, default=30.0, help="seconds of waiting for news")
    given = options.parse_args()
    os.environ[PASSWORD_ENV] = PASSWORD
    with started() as (server, folder):
        scaffold(folder / "pack")
        server.deliver(many(given.messages))
        with Store.open(folder / "queue.db", now=Clock()) as store:
            _measure(server, store, load(folder / "pack"), given.messages, given.watch)
    return 0


def _measure(dovecot: Dovecot, store: Store, pack: Pack, messages: int, watch: float) -> None:
    account = account_at(dovecot)
    with Server.connected(account, PASSWORD) as server:
        for what in ("first pull", "second pull, nothing new"):
            began, used = time.perf_counter(), time.process_time()
            tally = take_in_folder(server, "INBOX", store, pack, by="speed")
            seconds, cpu = time.perf_counter() - began, time.process_time() - used
            rate = f", {tally.total / seconds:.0f} a second" if tally.total else ""
            print(f"{what}: {tally.total} messages in {seconds:.2f} s ({cpu:.2f} s of processor){rate}")
        assert tally.total == 0 and store.mailboxes.mark("shop", "INBOX") is not None
        before, used = _memory(), time.process_time()
        server.select("INBOX")
        with server.idling() as idle:
            end = time.monotonic() + watch
            while time.monotonic() < end:
                idle.news(1.0)
        print(f"waiting {watch:.0f} s for news: {time.process_time() - used:.3f} s of processor")
        print(f"memory: {before:.0f} MiB before, {_memory():.0f} MiB after, highest {_highest():.0f} MiB")


def _memory() -> float:
    """MiB this process holds now."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * resource.getpagesize() / 2**20


def _highest() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    sys.exit(main())

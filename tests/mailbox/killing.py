"""Rounds in which the program is ended by SIGKILL somewhere in its work, then runs again; and what must be true after.

A round: new mail is delivered, some drafts are changed, a person sends one; a child process pulls and is killed, once
or several times; then a run goes through. `without` takes one guard out, to show that the rounds would notice:
"mark": how far a folder was read is written before the mail, not with it;
"folder": what lies in the drafts folder is taken from the store's memory, not from the folder.
"""

from __future__ import annotations

import multiprocessing
import os
import random
import signal
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from letters import as_sent, letter, parsed
from mail_server import PASSWORD, Dovecot
from shop_mailbox import Clock, Program, account_at

from triage.mailbox import incoming
from triage.mailbox import round as rounds
from triage.mailbox.drafts import Drafts, Folder
from triage.mailbox.round import BY, look
from triage.mailbox.server import Server
from triage.model import Draft, Sentence
from triage.pack import Pack
from triage.store import Store, ThreadState, transactions

MOST_KILLS = 3  # in one round


@dataclass
class Found:
    """What was seen over all rounds."""

    rounds: int = 0
    kills: int = 0
    ended_before_the_kill: int = 0
    messages: int = 0
    drafts_laid: int = 0
    sent: int = 0
    wrong: list[str] = field(default_factory=list)


class Scene:
    """A server, a store and a shop, with all that was delivered and sent so far."""

    def __init__(self, server: Dovecot, path: Path, pack: Pack, seed: int) -> None:
        self.server, self.path, self.pack = server, path, pack
        self.random = random.Random(seed)
        self.clock = Clock()
        self.delivered: list[str] = []
        self.sent: set[str] = set()
        self.person = Program(server)
        self.account = account_at(server)

    def store(self) -> Store:
        return Store.open(self.path, now=self.clock, busy_seconds=30)

    def day_goes_on(self) -> None:
        """Mail comes in, drafts change, a person sends one of them."""
        first = len(self.delivered)
        new = [_mail(first + n) for n in range(self.random.randint(1, 12))]
        self.server.deliver(new)
        self.delivered += [str(parsed(mail)["Message-ID"]).strip("<>") for mail in new]
        with self.store() as store:
            ready = store.mailboxes.ready()
            for one in self.random.sample(ready, min(len(ready), self.random.randint(0, 6))):
                _change_draft(store, one.thread)
        lying = self.person.mails("Drafts")
        if lying and self.random.random() < 0.7:
            self._send(*self.random.choice(sorted(lying.items())))

    def _send(self, uid: int, mail: bytes) -> None:
        sent = parsed(as_sent(mail, day=26))
        sent.replace_header("Message-ID", f"<sent-{len(self.sent)}@harrowlane.example>")
        self.sent.add(f"sent-{len(self.sent)}@harrowlane.example")
        self.person.put("Sent", sent.as_bytes(), b"\\Seen")
        self.person.delete("Drafts", uid)

    def wrong(self) -> Iterator[str]:
        """What is not as it must be after a run that went through."""
        with self.store() as store:
            threads = list(store.each_thread())
        kept = Counter(message.id for thread in threads for message in thread.messages)
        yield from (f"{id} is there {kept[id]} times" for id in self.delivered if kept[id] != 1)
        replies = Counter(reply.message_id for thread in threads for reply in thread.replies)
        yield from (f"{id} is recorded {replies[id]} times" for id in self.sent if replies[id] != 1)
        lying = Counter(str(parsed(mail)["To"]) for mail in self.person.mails("Drafts").values())
        for thread in threads:
            wanted = int(thread.state is ThreadState.READY)
            there = lying[str(thread.asker.name) + f" <{thread.asker.email}>"]
            if there != wanted:
                yield f"thread {thread.id} ({thread.state.label}) has {there} drafts in the folder"


def _mail(number: int) -> bytes:
    return letter(
        number, f"Cart {number} clicks.", sender=f"Asker{number} <a{number}@mail.example>", subject=f"C{number}"
    )


def _change_draft(store: Store, thread: int) -> None:
    version = len(store.thread(thread).drafts) + 1
    words = (Sentence(f"Draft {version} for thread {thread}.", "wording:test"),)
    store.save_draft(thread, Draft(f"Re: {thread}", words), by="wyn")


def work(scene: Scene, without: str = "", die_at: int = 0) -> None:
    """What `triage mailbox pull` does, with a draft that needs no models; dies at that step of it."""
    _count_steps(die_at)
    _take_out(without)
    with scene.store() as store, Server.connected(scene.account, PASSWORD) as server:
        look(server, store, scene.pack)
        for thread in list(store.each_thread((ThreadState.NEW,))):
            _change_draft(store, thread.id)
        Drafts(store, scene.pack.shop, scene.clock, by=BY).settle(server)


def _count_steps(die_at: int) -> None:
    """Before and after each command to the server and each commit: the points where a stop may hurt."""
    if not die_at:
        return
    steps = 0

    def step() -> None:
        nonlocal steps
        steps += 1
        if steps == die_at:
            os.kill(os.getpid(), signal.SIGKILL)

    def stepping(do: Callable[..., Any]) -> Callable[..., Any]:
        def doing(*arguments: Any, **named: Any) -> Any:
            step()
            done = do(*arguments, **named)
            step()
            return done

        return doing

    for name in ("select", "mails", "sizes", "headers", "lay", "remove"):
        setattr(Server, name, stepping(getattr(Server, name)))
    transactions.Transactions._commit = stepping(transactions.Transactions._commit)  # type: ignore[method-assign]
    transactions.immediate = _stepping_block(transactions.immediate, step)  # type: ignore[assignment]


def _stepping_block(block: Callable[..., Any], step: Callable[[], None]) -> Callable[..., Any]:
    @contextmanager
    def around(db: Any) -> Iterator[None]:
        with block(db):
            yield
            step()
        step()

    return around


def _take_out(without: str) -> None:
    """Work without a guard."""
    if without == "mark":
        rounds.take_in_folder = _mark_first  # type: ignore[assignment]
    elif without == "folder":
        lying = Drafts._lying

        def remembered(self: Drafts, server: Server) -> Folder:
            folder, laid = lying(self, server), self._store.mailboxes.laid(server.account.name)
            known = {thread: [one for one in there if thread in laid and one.digest == laid[thread].digest]
                     for thread, there in folder.ours.items()}  # fmt: skip
            return replace(folder, ours=known)

        Drafts._lying = remembered  # type: ignore[method-assign]


def _mark_first(server: Server, folder: str, store: Store, pack: Pack, *, by: str, going: Any = None) -> Any:
    """The order in which mail gets lost: first the mark, then the mail."""
    tally = incoming.Tally()
    for fetched in incoming.news(server, folder, store):
        store.mailboxes.set_mark(server.account.name, folder, fetched.mark, by=by)
        ready = [incoming.prepared(item, pack) for item in fetched.arrived]
        with store.batch(len(ready) + 1):
            tally += incoming.keep(ready, store, by)
    return tally


def run(
    scene: Scene,
    count: int,
    without: str = "",
    *,
    to_the_end: bool = True,
    tell: Callable[[Found], None] = lambda found: None,
) -> Found:
    """So many rounds, or until something is wrong; what was found.

    Every second kill is at a step of the work, the others at a moment of time. `tell` hears of each round.
    """
    found = Found()
    for number in range(count):
        scene.day_goes_on()
        for _ in range(scene.random.randint(1, MOST_KILLS)):
            found.kills += 1
            found.ended_before_the_kill += not _killed(scene, without, by_step=bool((number + found.kills) % 2))
        _through(scene, without)
        found.rounds += 1
        found.wrong += [f"round {number}: {what}" for what in scene.wrong()]
        tell(found)
        if found.wrong and not to_the_end:
            break
    with scene.store() as store:
        found.messages = sum(len(thread.messages) for thread in store.each_thread())
        found.drafts_laid = len(store.mailboxes.laid(scene.account.name))
    found.sent = len(scene.sent)
    return found


def _killed(scene: Scene, without: str, *, by_step: bool) -> bool:
    """Run the work in a process and kill it; False where it had ended before."""
    die_at = scene.random.randint(1, 60) if by_step else 0
    child = multiprocessing.get_context("fork").Process(target=work, args=(scene, without, die_at))
    child.start()
    if not by_step:
        time.sleep(scene.random.uniform(0.0, 0.5))
        child.kill()
    child.join(60)
    return child.exitcode == -signal.SIGKILL


def _through(scene: Scene, without: str) -> None:
    child = multiprocessing.get_context("fork").Process(target=work, args=(scene, without, 0))
    child.start()
    child.join(120)
    if child.exitcode != 0:
        raise AssertionError(f"a run that nobody killed ended with {child.exitcode}")

"""Watch every mailbox and folder of a store, each in a thread of its own, until told to stop.

watcher = Watcher(store_path, pack_path, WatchSettings())
watcher.start()
watcher.status()  # a line for each mailbox
watcher.stop()
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path
from threading import Event, Lock, Thread
from typing import Literal

from triage.mailbox.account import Account, ExportFolder, Place, from_text
from triage.mailbox.patience import Patience
from triage.mailbox.problems import MailboxError, Refused
from triage.mailbox.round import Reading, Round, alone
from triage.mailbox.watching import Looking, watch_account, watch_folder
from triage.pipeline import Stages
from triage.store import Store, StoreError

How = Literal["starting", "at work", "watching", "waiting to try again", "stopped"]


def _now() -> datetime:
    return datetime.now(UTC)


@dataclass(frozen=True)
class WatchSettings:
    """How to watch. A workbench passes the models it has warm, and the lock under which it uses them."""

    look_every: float = 60.0  # seconds between looks at what the server does not announce: the sent folder
    encoder: str = ""
    stages: Stages | None = None
    turn: AbstractContextManager[object] | None = None
    now: Callable[[], datetime] = _now
    only: tuple[str, ...] = ()  # names of mailboxes; () watches all
    patience: Patience = field(default_factory=Patience)
    tell: Callable[[str, Round], None] = lambda name, done: None


@dataclass(frozen=True, slots=True)
class Status:
    """How one mailbox is watched just now."""

    name: str
    how: How = "starting"
    since: datetime | None = None
    looked: datetime | None = None  # when the last round ended well
    problem: str = ""  # what went wrong last; "" once a round went well again
    taken_in: int = 0  # new messages since the start


class Watcher:
    """Threads that watch the mailboxes of a store. Start and stop it once; make another to start again."""

    def __init__(self, store_path: Path, pack_path: Path, settings: WatchSettings | None = None) -> None:
        self._store_path, self._pack_path = store_path, pack_path
        self._settings = settings or WatchSettings()
        self._stop, self._lock = Event(), Lock()
        self._threads: list[Thread] = []
        self._status: dict[str, Status] = {}

    def start(self) -> None:
        """Begin to watch. Raises MailboxError when there is nothing to watch."""
        places = self._places()
        if not places:
            raise MailboxError("There is no mailbox to watch yet. Name one: triage mailbox add")
        self._status = {place.name: Status(place.name) for place in places}
        reading = self._reading()
        self._threads = [Thread(target=self._watch, args=(place, reading), name=place.name) for place in places]
        for thread in self._threads:
            thread.start()

    def stop(self, seconds: float = 30.0) -> bool:
        """End all threads, each after the step it is at; False when one did not end in time."""
        self._stop.set()
        for thread in self._threads:
            thread.join(seconds)
        return not any(thread.is_alive() for thread in self._threads)

    def status(self) -> tuple[Status, ...]:
        """A line for each mailbox, in the order of their names."""
        with self._lock:
            return tuple(self._status.values())

    def _places(self) -> Sequence[Place]:
        with self._open() as store:
            found = [from_text(text) for text in store.mailboxes.settings().values()]
        return [place for place in found if not self._settings.only or place.name in self._settings.only]

    def _open(self) -> Store:
        return Store.open(self._store_path, now=self._settings.now, busy_seconds=30)

    def _reading(self) -> Reading:
        """The models given, else loaded here."""
        stages = self._settings.stages or _loaded(self._pack_path, self._settings.encoder)
        return Reading(stages, self._settings.turn or Lock())

    def _watch(self, place: Place, reading: Reading) -> None:
        """Try until told to stop; after trouble wait, each time longer."""
        patience = self._settings.patience.fresh()
        while not self._stop.is_set():
            self._tell(place.name, how="at work")
            try:
                with alone(self._store_path, place.name), self._open() as store:
                    self._watch_once(place, store, reading, patience)
            except (MailboxError, StoreError) as error:
                self._tell(place.name, how="waiting to try again", problem=str(error))
                self._stop.wait(patience.next_wait(refused=isinstance(error, Refused)))
            except Exception as error:  # a thread that died would go unnoticed: say it, and try again
                self._tell(place.name, how="waiting to try again", problem=f"unexpected: {error!r}")
                self._stop.wait(patience.next_wait(refused=True))
        self._tell(place.name, how="stopped")

    def _watch_once(self, place: Place, store: Store, reading: Reading, patience: Patience) -> None:
        def went_well(done: Round) -> None:
            patience.reset()
            self._add(place.name, done)

        settings = self._settings
        looking = Looking(store, reading, settings.now, lambda: not self._stop.is_set(), went_well, settings.look_every)
        if isinstance(place, Account):
            watch_account(place, looking)
        elif isinstance(place, ExportFolder):
            watch_folder(place, looking, self._stop.wait)

    def _add(self, name: str, done: Round) -> None:
        with self._lock:
            total = self._status[name].taken_in + done.taken_in.new
        self._tell(name, how="watching", looked=self._settings.now(), problem="", taken_in=total)
        self._settings.tell(name, done)

    def _tell(self, name: str, **changed: object) -> None:
        with self._lock:
            before = self._status[name]
            if changed.get("how", before.how) != before.how:
                changed["since"] = self._settings.now()
            self._status[name] = replace(before, **changed)  # type: ignore[arg-type]


def _loaded(pack_path: Path, encoder: str) -> Stages:
    from triage.engine import assemble, cache_folder
    from triage.matching.encode import encoder_for
    from triage.pack import load

    return assemble(load(pack_path), encoder_for(encoder), cache_folder())

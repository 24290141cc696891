"""triage mailbox: the shop's own mailbox, and folders of exports."""

from __future__ import annotations

import signal
import sys
from threading import Event
from typing import TYPE_CHECKING, Annotated

import typer

from triage.cli import mailbox_add
from triage.cli.common import (
    ByOption,
    EncoderOption,
    JsonOption,
    PackOption,
    StoreOption,
    counted,
    now,
    open_pack,
    open_stages,
    open_store,
    pack_folder,
    print_json,
    who,
)
from triage.cli.mailbox_add import place_named
from triage.mailbox import MailboxError
from triage.mailbox.account import Account, ExportFolder, Place, from_text
from triage.pack import Pack
from triage.store import Store
from triage.unusable import Unusable

if TYPE_CHECKING:
    from triage.mailbox.round import Reading, Round
    from triage.mailbox.watcher import Watcher

app = typer.Typer(
    rich_markup_mode=None, no_args_is_help=True, help="The shop's own mailbox: mail in, drafts ready. Nothing is sent."
)
mailbox_add.add_to(app)
NamesArgument = Annotated[list[str] | None, typer.Argument(metavar="[NAME...]", help="Which; else all.")]


@app.command("list")
def list_command(as_json: JsonOption = False, store: StoreOption = None) -> None:
    """The mailboxes and folders, and how far each was read."""
    with open_store(store) as queue:
        lines = [_line(from_text(text), queue) for text in queue.mailboxes.settings().values()]
    if as_json:
        print_json(lines)
        return
    for line in lines:
        print("  ".join(f"{key} {value}" for key, value in line.items() if value))
    if not lines:
        print("No mailbox yet. Name one: triage mailbox add")


def _line(place: Place, queue: Store) -> dict[str, object]:
    if isinstance(place, ExportFolder):
        return {"name": place.name, "folder": place.path}
    marks = {folder: queue.mailboxes.mark(place.name, folder) for folder in (*place.folders, place.sent) if folder}
    read = {folder: mark.uid_next - 1 if mark else 0 for folder, mark in marks.items()}
    return {
        "name": place.name, "server": f"{place.host}:{place.port}", "account": place.user,
        "from": ", ".join(place.folders), "drafts": place.drafts, "sent": place.sent, "since": place.since,
        "keyword": place.keyword, "password": f"${place.password_env}" if place.password_env else "keyring",
        "read": ", ".join(f"{folder} to {uid}" for folder, uid in read.items()),
    }  # fmt: skip


@app.command("check")
def check_command(names: NamesArgument = None, store: StoreOption = None) -> None:
    """Log in and say what is there; nothing is changed."""
    from triage.mailbox.secret import password_of
    from triage.mailbox.server import Server

    with open_store(store) as queue:
        accounts = [place for place in _places(queue, names) if isinstance(place, Account)]
    for account in accounts:
        with Server.connected(account, password_of(account)) as server:
            print(f"{account.name}: logged in at {account.host}:{account.port}, {server.tls()}")
            print(f"  news by itself (IDLE): {_yes(server.can('IDLE'))}; UIDPLUS: {_yes(server.can('UIDPLUS'))}")
            for folder in filter(None, (*account.folders, account.drafts, account.sent)):
                print(f"  {folder}: {counted(server.status(folder)[2], 'message')}")


def _yes(value: bool) -> str:
    return "yes" if value else "no"


@app.command("pull")
def pull_command(
    names: NamesArgument = None,
    only_keep: Annotated[
        bool, typer.Option("--only-keep", help="Take in and see what was sent; read and draft nothing.")
    ] = False,
    as_json: JsonOption = False,
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
) -> None:
    """Take in what is new, see what was sent, read, draft, and lay the drafts ready. Once; then 'watch' goes on."""
    from triage.mailbox.round import Reading

    loaded = open_pack(pack)
    with open_store(store) as queue:
        places = _places(queue, names)
        reading = None if only_keep else Reading(open_stages(loaded, encoder))
        done, troubles = _pulled(places, queue, loaded, reading)
    if as_json:
        print_json({name: _round_json(one) for name, one in done.items()})
    for name, one in () if as_json else done.items():
        print(f"{name}: {_round_text(one)}")
    if troubles:
        raise MailboxError("\n".join(troubles))


def _pulled(
    places: list[Place], queue: Store, pack: Pack, reading: Reading | None
) -> tuple[dict[str, Round], list[str]]:
    """What was done for each mailbox, and what went wrong: trouble with one does not hold up the others."""
    from triage.mailbox.pulling import pull

    done: dict[str, Round] = {}
    troubles: list[str] = []
    for place in places:
        try:
            done[place.name] = pull(place, queue, pack, reading, now)
        except MailboxError as error:
            troubles.append(f"{place.name}: {error}")
    return done, troubles


def _round_json(done: Round) -> dict[str, int]:
    taken = done.taken_in
    return {
        "new": taken.new, "known": taken.duplicate, "automatic": taken.automatic, "set_aside": taken.rejected,
        "sent": len(done.sent), "read": done.read, "reminded": done.reminded,
        "drafts_laid": done.drafts.laid, "drafts_removed": done.drafts.removed, "drafts_left": done.drafts.left,
    }  # fmt: skip


def _round_text(done: Round) -> str:
    told = _round_json(done)
    words = {
        "new": "new", "known": "already here", "automatic": "automatic", "set_aside": "set aside",
        "sent": "found sent", "read": "read", "reminded": "to remind", "drafts_laid": "drafts laid",
        "drafts_removed": "drafts taken out", "drafts_left": "drafts left in a person's hand",
    }  # fmt: skip
    return ", ".join(f"{told[key]} {word}" for key, word in words.items() if told[key] or key == "new") + "."


@app.command("watch")
def watch_command(
    names: NamesArgument = None,
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
) -> None:
    """Stay connected and do as 'pull' whenever something is new, until stopped (Ctrl-C, or SIGTERM)."""
    from triage.mailbox.watcher import Watcher, WatchSettings

    with open_store(store) as queue:
        path, chosen = queue.path, tuple(place.name for place in _places(queue, names))
    settings = WatchSettings(encoder=encoder, now=now, only=chosen, tell=_tell_round)
    watcher = Watcher(path, pack_folder(pack), settings)
    ended = Event()
    for sign in (signal.SIGINT, signal.SIGTERM):
        signal.signal(sign, lambda *_: ended.set())
    watcher.start()
    print(f"Watching {', '.join(chosen)}. Ctrl-C stops.", flush=True)
    _follow(watcher, ended)
    print("Stopped." if watcher.stop() else "Stopped; a step was still at work and is left unfinished.")


def _tell_round(name: str, done: Round) -> None:
    if not done.is_quiet:
        print(f"{now():%H:%M} {name}: {_round_text(done)}", flush=True)


def _follow(watcher: Watcher, ended: Event) -> None:
    """Say each trouble once, until told to end."""
    told: dict[str, str] = {}
    while not ended.wait(1.0):
        for status in watcher.status():
            if status.problem != told.get(status.name, ""):
                told[status.name] = status.problem
                print(
                    f"{now():%H:%M} {status.name}: {status.problem or 'all well again.'}", file=sys.stderr, flush=True
                )


@app.command("remove")
def remove_command(
    name: Annotated[str, typer.Argument(help="Which mailbox.")], store: StoreOption = None, by: ByOption = ""
) -> None:
    """Forget a mailbox and its password. What was taken in stays, and so do the drafts that lie in the mailbox."""
    from triage.mailbox.secret import drop_password

    with open_store(store) as queue:
        place = place_named(queue, name)
        queue.mailboxes.remove(name, by=who(by))
    if isinstance(place, Account) and not place.password_env:
        drop_password(place)
    print(f"Mailbox {name} is forgotten.")


def _places(queue: Store, names: list[str] | None) -> list[Place]:
    """The mailboxes of these names, else all. Raises Unusable where one is not known, or there is none at all."""
    known = {name: from_text(text) for name, text in queue.mailboxes.settings().items()}
    for name in names or ():
        if name not in known:
            raise Unusable(f"There is no mailbox {name}. Known: {', '.join(known) or 'none yet'}.")
    if not known:
        raise Unusable("There is no mailbox yet. Name one: triage mailbox add")
    return [known[name] for name in names] if names else list(known.values())

"""triage bench: the workbench in a browser."""

from __future__ import annotations

import socket
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated

import typer

from triage.cli.common import ByOption, EncoderOption, PackOption, StoreOption, open_store, pack_folder
from triage.unusable import Unusable

if TYPE_CHECKING:
    from triage.bench.office import Office


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("bench")(bench_command)


def bench_command(
    host: Annotated[str, typer.Option("--host", help="Address to listen on.")] = "127.0.0.1",
    port: Annotated[int, typer.Option("--port", help="Port to listen on; 0 takes a free one.", min=0, max=65535)] = 0,
    host_name: Annotated[
        list[str] | None, typer.Option("--host-name", help="A further name under which it may be reached; repeats.")
    ] = None,
    mailbox: Annotated[bool, typer.Option("--mailbox", help="Watch the shop's mailboxes as well.")] = False,
    pack: PackOption = None,
    store: StoreOption = None,
    encoder: EncoderOption = "",
    by: ByOption = "",
) -> None:
    """Clear the queue in a browser: the questions, what was read, and the replies. Ctrl-C ends it."""
    import uvicorn

    from triage.bench.app import create_app, open_office
    from triage.bench.safety.doors import warnings
    from triage.bench.settings import Settings

    with open_store(store, create=True) as queue:
        path, members = queue.path, len(queue.staff.members())
    with listening_at(host, port) as listening:
        port = listening.getsockname()[1]
        settings = Settings(path, pack_folder(pack), host, port, tuple(host_name or ()), encoder, by.strip())
        for warning in warnings(settings, members):
            print(warning, file=sys.stderr)
        with watching(open_office(settings), wanted=mailbox) as office:
            app = create_app(settings, office)
            print(f"The workbench is at http://{_in_address(host)}:{port}/  (Ctrl-C ends it)", flush=True)
            config = uvicorn.Config(app, log_level="warning", server_header=False, proxy_headers=bool(host_name))
            uvicorn.Server(config).run(sockets=[listening])


@contextmanager
def watching(office: Office, *, wanted: bool) -> Iterator[Office]:
    """The office with its mailboxes watched while the block lasts. Raises MailboxError when there is none."""
    if not wanted:
        yield office
        return
    from triage.mailbox.watcher import Watcher, WatchSettings

    settings = office.settings
    own = WatchSettings(stages=office.stages, turn=office.reading, now=office.now)
    watcher = Watcher(settings.store, settings.pack, own)
    watcher.start()
    try:
        yield replace(office, troubles=lambda: [f"{s.name}: {s.problem}" for s in watcher.status() if s.problem])
    finally:
        watcher.stop()


def _in_address(host: str) -> str:
    return f"[{host}]" if ":" in host else host


@contextmanager
def listening_at(host: str, port: int) -> Iterator[socket.socket]:
    """A socket that listens. Raises Unusable where the address cannot be had."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        listening = socket.create_server((host, port), family=family)
    except OSError as error:
        raise Unusable(
            f"Cannot listen at {host}, port {port}: {error.strerror or error}. Name an address of this machine and "
            "a port that is free; port 0 takes any."
        ) from error
    with listening:
        yield listening

"""triage mailbox add and add-folder: name a mailbox, see that it works, keep how to reach it."""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from triage.cli.common import ByOption, StoreOption, now, open_store, who
from triage.mailbox.account import Account, ExportFolder, Place, from_text, to_text
from triage.store import Store
from triage.unusable import Unusable

if TYPE_CHECKING:
    from triage.mailbox.server import Server

DAYS = 30
NameOption = Annotated[str, typer.Option("--name", help="A short name for it; else the account's.")]


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    app.command("add")(add_command)
    app.command("add-folder")(add_folder_command)


def add_command(
    host: Annotated[str, typer.Option("--host", help="Name of the mail server (IMAP).")] = "",
    user: Annotated[str, typer.Option("--user", help="The account, as a rule the whole address.")] = "",
    port: Annotated[int, typer.Option("--port", help="Its port for IMAP over TLS.")] = 993,
    folder: Annotated[
        list[str] | None, typer.Option("--folder", help="Folder where questions come in (repeat); else INBOX.")
    ] = None,
    drafts: Annotated[str, typer.Option("--drafts", help="Folder for drafts; '-' lays none; else the server's.")] = "",
    sent: Annotated[
        str, typer.Option("--sent", help="Folder of sent mail; '-' looks nowhere; else the server's.")
    ] = "",
    keyword: Annotated[
        str, typer.Option("--keyword", help="Keyword set on mail taken in; else no flag is touched.")
    ] = "",
    days: Annotated[
        int, typer.Option("--days", help="Take in mail of so many days back; 0 takes in all.", min=0)
    ] = DAYS,
    ca_file: Annotated[
        Path | None, typer.Option("--ca-file", help="Certificates (PEM) to trust instead of the system's.")
    ] = None,
    password_env: Annotated[
        str, typer.Option("--password-env", help="Environment variable with the password; else the keyring.")
    ] = "",
    name: NameOption = "",
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Name a mailbox: log in once to see that it works, and keep how to reach it. The password is kept elsewhere."""
    with open_store(store, create=True) as queue:
        known = place_named(queue, name) if name else None
        account = _asked(known if isinstance(known, Account) else None, name, host, user, port)
        account = replace(
            account,
            folders=tuple(folder) if folder else account.folders,
            drafts=drafts or account.drafts,
            sent=sent or account.sent,
            keyword=_keyword(keyword) or account.keyword,
            since=account.since if known else _since(days),
            ca_file=str(ca_file.resolve()) if ca_file else account.ca_file,
            password_env=password_env or account.password_env,
        )
        account = _tried(account)
        queue.mailboxes.add(account.name, to_text(account), by=who(by))
    print(f"Mailbox {account.name} is kept. Take in what is there: triage mailbox pull {account.name}")


def _asked(known: Account | None, name: str, host: str, user: str, port: int) -> Account:
    """Host and account as given, as known, else asked for."""
    host = host or (known.host if known else typer.prompt("Mail server (IMAP)"))
    user = user or (known.user if known else typer.prompt("Account"))
    if known:
        return replace(known, host=host, user=user, port=port)
    return Account(name or user, host, user, port)


def _keyword(given: str) -> str:
    """A keyword is an atom (RFC 3501 section 9); flags of the mail system itself are not the shop's to set."""
    if not given.replace("_", "").replace("-", "").isalnum() and given:
        raise Unusable(f"'{given}' cannot be a keyword: letters, digits, - and _ only, such as TakenIn.")
    return given


def _since(days: int) -> str:
    return (now() - timedelta(days=days)).date().isoformat() if days else ""


def _tried(account: Account) -> Account:
    """Log in with the password asked for (or found in the environment), see the folders, then keep the password."""
    from triage.mailbox.secret import keep_password, password_of
    from triage.mailbox.server import Server

    if account.password_env:
        password = password_of(account)
    else:
        password = typer.prompt("Password (kept in the system's keyring)", hide_input=True)
    with Server.connected(account, password) as server:
        account = _with_folders(account, server)
    if not account.password_env:
        keep_password(account, password)
    return account


def _with_folders(account: Account, server: Server) -> Account:
    """The folders for drafts and sent mail filled in; Unusable where one named is not there."""
    there = server.folders()
    drafts, sent = server.special_folders()
    account = replace(account, drafts=_chosen(account.drafts, drafts), sent=_chosen(account.sent, sent))
    for wanted in (*account.folders, account.drafts, account.sent):
        if wanted and wanted not in there:
            raise Unusable(f"{account.host}: there is no folder '{wanted}'. Folders there: {', '.join(sorted(there))}.")
    if not account.drafts and drafts != account.drafts:
        print("No drafts are laid into the mailbox.", file=sys.stderr)
    return account


def _chosen(given: str, found: str) -> str:
    return "" if given == "-" else given or found


def add_folder_command(
    folder: Annotated[Path, typer.Argument(help="Folder into which exports of a web form or chat are put.")],
    name: NameOption = "",
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Watch a folder of this computer: each file put into it is taken in once."""
    if not folder.is_dir():
        raise Unusable(f"{folder} is no folder.")
    place = ExportFolder(name or folder.resolve().name, str(folder.resolve()))
    with open_store(store, create=True) as queue:
        queue.mailboxes.add(place.name, to_text(place), by=who(by))
    print(f"Folder {place.name} is kept. Take in what is there: triage mailbox pull {place.name}")


def place_named(queue: Store, name: str) -> Place | None:
    """The mailbox or folder of that name; None where there is none."""
    text = queue.mailboxes.settings().get(name)
    return from_text(text) if text else None

"""triage staff: who may sign in at the workbench when it can be reached from other machines."""

from __future__ import annotations

import getpass
import sys
from typing import Annotated

import typer

from triage.cli.common import ByOption, JsonOption, StoreOption, open_store, print_json, who
from triage.store import Role
from triage.unusable import Unusable

app = typer.Typer(rich_markup_mode=None, help="Who may sign in at the workbench: add, remove, list, roles.")

NameArgument = Annotated[
    str, typer.Argument(metavar="NAME", help="The name they sign in with, and that signs what they do.")
]
RoleOption = Annotated[Role, typer.Option("--role", help="What they are there for.")]


@app.command("add")
def add_command(
    name: NameArgument, role: RoleOption = Role.STAFF, store: StoreOption = None, by: ByOption = ""
) -> None:
    """Let somebody sign in; asks for their password, or reads it from the first line of standard input."""
    with open_store(store, create=True) as queue:
        if queue.staff.find(name):
            raise Unusable(f"There is a '{name}' already. 'triage staff password' gives them a new password.")
        queue.staff.add(name, role, _hash_of(_asked()), by=who(by))
    print(f"{name} may sign in now, as {role.value}.")


@app.command("remove")
def remove_command(name: NameArgument, store: StoreOption = None, by: ByOption = "") -> None:
    """Take somebody off, at once; what they did stays under their name."""
    with open_store(store) as queue:
        queue.staff.remove(name, by=who(by))
    print(f"{name} can sign in no more.")


@app.command("list")
def list_command(store: StoreOption = None, as_json: JsonOption = False) -> None:
    """Everybody who may sign in, with their role."""
    with open_store(store) as queue:
        members = queue.staff.members()
    if as_json:
        print_json([{"name": one.name, "role": one.role.value, "added": one.added} for one in members])
        return
    width = max((len(one.name) for one in members), default=0)
    for one in members:
        print(f"{one.name:{width}}  {one.role.value:6}  since {one.added:%d %b %Y}")
    if not members:
        print("Nobody yet: triage staff add NAME")


@app.command("role")
def role_command(
    name: NameArgument,
    role: Annotated[Role, typer.Argument(help="staff, host or editor.")],
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Give somebody another role; it counts from their next page on."""
    with open_store(store) as queue:
        queue.staff.set_role(name, role, by=who(by))
    print(f"{name} is {role.value} now.")


@app.command("password")
def password_command(name: NameArgument, store: StoreOption = None, by: ByOption = "") -> None:
    """Give somebody a new password; wherever they are signed in, they must sign in again."""
    with open_store(store) as queue:
        queue.staff.set_password(name, _hash_of(_asked()), by=who(by))
    print(f"{name} has a new password.")


def _asked() -> str:
    """The password, typed twice without being shown; from a script, the first line given. Raises Unusable."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    first = getpass.getpass("Password: ")
    if first != getpass.getpass("The same again: "):
        raise Unusable("The two are not the same. Nothing was changed.")
    return first


def _hash_of(password: str) -> str:
    """Its hash. Raises Unusable for a password that cannot be taken."""
    from triage.bench.safety.passwords import WeakPassword, hashed

    try:
        return hashed(password)
    except WeakPassword as error:
        raise Unusable(str(error)) from error

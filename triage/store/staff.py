"""Who may sign in at the workbench, with what role; and the key that signs its cookies."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from hashlib import sha256

from sqlite_utils import Database

from triage.store.codec import encodable, moment
from triage.store.errors import NotFound, StoreError
from triage.store.section import Section
from triage.store.values import What

LONGEST_NAME = 60  # characters


class Role(StrEnum):
    """What somebody is there for; what each may do is the workbench's table."""

    STAFF = "staff"
    HOST = "host"
    EDITOR = "editor"


@dataclass(frozen=True, slots=True)
class Member:
    """One person who may sign in. `password` is its hash, never the password."""

    name: str
    role: Role
    password: str = field(repr=False)
    added: datetime

    @property
    def stamp(self) -> str:
        """Differs after a new password or a new start under the same name: older sign-ins then no longer count."""
        return sha256(f"{self.password}\n{self.added.isoformat()}".encode()).hexdigest()[:16]


class Staff(Section):
    """The people of one store. Names differ in more than case."""

    def add(self, name: str, role: Role, password: str, *, by: str) -> None:
        """Let somebody sign in; `password` is a hash. Raises StoreError for a name that is taken or unusable."""
        name = _usable(name)
        with self._change(by) as change:
            if _find(change.db, name):
                raise StoreError(f"There is a '{name}' already. Choose another name, or remove that one first.")
            change.insert("staff", {"name": name, "role": role.value, "password": password, "added": change.at})
            change.record(None, What.STAFF, after={"added": name, "role": role.value})

    def remove(self, name: str, *, by: str) -> None:
        """Take somebody off; what they did stays signed by their name. Raises NotFound."""
        with self._change(by) as change:
            member = _known(change.db, name)
            change.db.execute("delete from staff where name = ?", [member.name])
            change.record(None, What.STAFF, before={"removed": member.name, "role": member.role.value})

    def set_role(self, name: str, role: Role, *, by: str) -> None:
        """Give somebody another role, at once also where they are signed in. Raises NotFound."""
        with self._change(by) as change:
            member = _known(change.db, name)
            change.db.execute("update staff set role = ? where name = ?", [role.value, member.name])
            before, after = ({"name": member.name, "role": one.value} for one in (member.role, role))
            change.record(None, What.STAFF, before=before, after=after)

    def set_password(self, name: str, password: str, *, by: str) -> None:
        """Keep another hash; whoever is signed in under the name must sign in again. Raises NotFound."""
        with self._change(by) as change:
            member = _known(change.db, name)
            change.db.execute("update staff set password = ? where name = ?", [password, member.name])
            change.record(None, What.STAFF, after={"new password": member.name})

    def members(self) -> list[Member]:
        """Everybody who may sign in, by name."""
        with self._look() as db:
            return [_member(*row) for row in db.execute(f"{_MEMBERS} order by casefolded(name)")]

    def find(self, name: str) -> Member | None:
        """The person of that name, in whatever case it is typed."""
        with self._look() as db:
            return _find(db, name)

    def key(self, name: str) -> str:
        """A secret of this store, made when it is first asked for; it stands in no export and no history."""
        with self._look() as db:
            row = db.execute("select key from keys where name = ?", [name]).fetchone()
        return str(row[0]) if row else self._new_key(name)

    def _new_key(self, name: str) -> str:
        with self._change("triage") as change:
            change.db.execute("insert or ignore into keys (name, key) values (?, ?)", [name, secrets.token_urlsafe(32)])
            return str(change.db.execute("select key from keys where name = ?", [name]).fetchone()[0])


_MEMBERS = "select name, role, password, added from staff"


def _usable(name: str) -> str:
    """The name with single spaces. Raises StoreError for one that is empty, long, or holds unprintable characters."""
    name = " ".join(encodable(name).split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        raise StoreError(f"'{name[:LONGEST_NAME]}' is not a name. Give 1 to {LONGEST_NAME} printable characters.")
    return name


def _known(db: Database, name: str) -> Member:
    member = _find(db, name)
    if not member:
        names = ", ".join(row[0] for row in db.execute("select name from staff order by name")) or "nobody yet"
        raise NotFound(f"There is no '{name}'. Those who may sign in: {names}.")
    return member


def _find(db: Database, name: str) -> Member | None:
    wanted = " ".join(encodable(name).split()).casefold()
    row = db.execute(f"{_MEMBERS} where casefolded(name) = ?", [wanted]).fetchone()
    return _member(*row) if row else None


def _member(name: str, role: str, password: str, added: str) -> Member:
    return Member(name, Role(role), password, moment(added))

"""Who may change what: one table. Looking is open to everybody who may come in."""

from __future__ import annotations

from collections.abc import Mapping

from triage.store import Role

EVERYBODY = frozenset(Role)

# By the first part of the address. A room that is not named here cannot be changed by anybody.
MAY_CHANGE: Mapping[str, frozenset[Role]] = {
    "sign-in": EVERYBODY,
    "sign-out": EVERYBODY,
    "question": EVERYBODY,  # facts, replies, notes
    "sheets": EVERYBODY,  # worksheets, and their outcome into a reply
    "air": frozenset({Role.HOST, Role.EDITOR}),  # the programme and its run sheet
    "answers": frozenset({Role.EDITOR}),  # the answer base
}


def room_of(path: str) -> str:
    """The first part of an address.

    >>> room_of("/question/12/reply")
    'question'
    """
    return path.strip("/").partition("/")[0]


def may_change(role: str, path: str) -> bool:
    """True when somebody of this role may change what lies at this address."""
    return role in MAY_CHANGE.get(room_of(path), frozenset())

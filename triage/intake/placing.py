"""One message at a time into the threads of a store: what it joins, and what to remember for later."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from triage.intake.threads import ancestors
from triage.model import Message


@dataclass(frozen=True, slots=True)
class Place:
    """Where a message belongs.

    `thread` is its key; `remember` the ids to store under that key, the message's own and those of
    unknown parents, so that they find their thread when they arrive; `merges` the keys of other threads
    that this message shows to be the same conversation.
    """

    thread: str
    remember: tuple[str, ...]
    merges: tuple[str, ...] = ()


def place(message: Message, known: Callable[[str], str | None]) -> Place:
    """Find the thread of `message`; `known` gives the thread key stored for a message id, or None.

    The nearest ancestor that is known decides. With none known, the oldest ancestor's id is the key: the
    whole family will name it too.
    """
    family = (*ancestors(message), *message.in_reply_to, message.id)
    family = tuple(dict.fromkeys(family))
    keys = tuple(dict.fromkeys(key for i in reversed(family) if (key := known(i)) is not None))
    thread = keys[0] if keys else family[0]
    return Place(thread, family, keys[1:])


def thread_key(message: Message, known: Callable[[str], str | None]) -> str:
    """The key of the thread that `message` belongs to; see `place`."""
    return place(message, known).thread

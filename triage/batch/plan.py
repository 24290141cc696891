"""What arrived, cut into parts of a fixed size: the same mail makes the same parts, in the same order."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import islice

from triage.model import Message, Rejected


@dataclass(frozen=True, slots=True)
class Part:
    """Some messages in the order they came, without their bytes; `digest` is over all that came."""

    number: int  # from 1
    arrived: tuple[Message | Rejected, ...]
    digest: str

    @property
    def name(self) -> str:
        """The file its readings go to."""
        return f"part-{self.number:06}.jsonl"


@dataclass(frozen=True, slots=True)
class PartRead:
    """The lines of a part, one for everything that arrived, in its order."""

    text: str
    messages: int
    questions: int
    set_aside: int


def cut(arrived: Iterable[Message | Rejected], size: int) -> Iterator[Part]:
    """The parts, one at a time, so that a history of any length takes the memory of one part."""
    items, number = iter(arrived), 0
    while found := tuple(islice(items, size)):
        number += 1
        yield Part(number, tuple(replace(item, raw=b"") for item in found), _digest(found))


def _digest(arrived: Iterable[Message | Rejected]) -> str:
    digest = hashlib.sha256()
    for item in arrived:
        name = item.id if isinstance(item, Message) else item.source
        digest.update(name.encode("utf-8", "surrogatepass") + b"\0" + hashlib.sha256(item.raw).digest())
    return digest.hexdigest()

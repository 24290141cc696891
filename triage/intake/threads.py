"""Which messages belong together: RFC 5256 REFERENCES over a whole collection."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from itertools import pairwise

from triage.intake.identity import content_hash, distinct_id
from triage.intake.subjects import base_subject, is_reply_or_forward
from triage.model import Message

_NEVER = datetime.max.replace(tzinfo=UTC)
Thread = tuple[str, ...]


def ancestors(message: Message) -> tuple[str, ...]:
    """Ids of the messages this one answers, oldest first: References, else the first In-Reply-To."""
    chain = message.references or message.in_reply_to[:1]
    return tuple(i for i in dict.fromkeys(chain) if i != message.id)


def thread_messages(messages: Iterable[Message]) -> list[Thread]:
    """Threads as tuples of message ids: parents before children, siblings and threads by date.

    RFC 5256 section 3, REFERENCES, with one step stricter: threads of one base subject are joined only
    when the later says Re: or Fw: and the same people write. Equal messages count once; another message
    under the same Message-ID stands under its distinct id.
    """
    known = _by_id(messages)
    parents = _parents(known)
    children: dict[str, list[str]] = defaultdict(list)
    for child, parent in parents.items():
        children[parent].append(child)
    everyone = dict.fromkeys([*parents.values(), *known])
    roots = [name for name in everyone if name not in parents]
    threads = [_flattened(root, children, known) for root in roots]
    return _joined_by_subject(sorted(filter(None, threads), key=lambda t: _rank(known, t[0])), known)


def _by_id(messages: Iterable[Message]) -> dict[str, Message]:
    """Messages by id, in order of arrival (RFC 5256: a shared Message-ID gives the later one a new id)."""
    known: dict[str, Message] = {}
    for message in messages:
        first = known.setdefault(message.id, message)
        if first is not message and content_hash(first) != content_hash(message):
            known.setdefault(distinct_id(message), message)
    return known


def _parents(known: Mapping[str, Message]) -> dict[str, str]:
    """Parent of each id, present or only referred to (section 3, step 1): no loops, first link wins,
    but a message's own last reference overrides what others said about it."""
    parents: dict[str, str] = {}
    for name, message in known.items():
        chain = ancestors(message)
        for parent, child in pairwise(chain):
            if child not in parents and not _reaches(parents, parent, child):
                parents[child] = parent
        parents.pop(name, None)
        if chain and not _reaches(parents, chain[-1], name):
            parents[name] = chain[-1]
    return parents


def _reaches(parents: Mapping[str, str], start: str, wanted: str) -> bool:
    at: str | None = start
    while at is not None:
        if at == wanted:
            return True
        at = parents.get(at)
    return False


def _flattened(root: str, children: Mapping[str, list[str]], known: Mapping[str, Message]) -> Thread:
    """Present messages below `root`, depth first, siblings by date (steps 3, 4 and 6)."""
    found: list[str] = []
    waiting = [root]
    while waiting:
        name = waiting.pop()
        found += [name] if name in known else []
        waiting += sorted(children.get(name, ()), key=lambda i: _rank(known, i), reverse=True)
    return tuple(found)


def _rank(known: Mapping[str, Message], name: str) -> tuple[datetime, str]:
    message = known.get(name)
    return (message.sent if message and message.sent else _NEVER), name


def _joined_by_subject(threads: list[Thread], known: Mapping[str, Message]) -> list[Thread]:
    """Step 5, guarded: a reply that lost its references finds the thread of its subject and people."""
    joined: dict[str, Thread] = {}  # first id -> thread, in order of date
    by_subject: dict[str, list[str]] = defaultdict(list)
    for thread in threads:
        head = known[thread[0]]
        subject = base_subject(head.subject).casefold()
        home = _home(head, [i for i in by_subject[subject] if subject], joined, known)
        if home:
            joined[home] += thread
        else:
            joined[thread[0]] = thread
            by_subject[subject].append(thread[0])
    return list(joined.values())


def _home(head: Message, firsts: list[str], joined: Mapping[str, Thread], known: Mapping[str, Message]) -> str:
    if not is_reply_or_forward(head.subject) or ancestors(head):
        return ""
    return next((f for f in firsts if _same_people(head, [known[i] for i in joined[f]])), "")


def _same_people(head: Message, thread: list[Message]) -> bool:
    """True when the writer wrote in the thread before, or answers somebody who did to one who got it."""
    writers = {m.sender.email for m in thread}
    readers = {a.email for m in thread for a in m.to}
    addressed = {a.email for a in head.to}
    return head.sender.email in writers or (head.sender.email in readers and bool(addressed & writers))

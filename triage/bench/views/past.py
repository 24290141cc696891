"""What was before: earlier messages, replies, contact of the same asker, and who did what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from triage.bench.views.wording import STATE, day_and_time, label, plain, signer
from triage.model import Fact, Message, Standing
from triage.pack import Pack
from triage.store import HistoryEntry, Prior, Reply, Thread

MOST_PRIOR = 8
_NOT_TOLD = frozenset({"waiting_since", "pack", "reply", "asks", "changed", "text", "questions", "danger", "decision"})


@dataclass(frozen=True, slots=True)
class Said:
    """A message or a reply of the thread."""

    head: str
    text: str
    apart: tuple[tuple[str, str], ...] = ()  # (what, words) that were set aside: quoted, forwarded, signature
    files: tuple[tuple[str, str], ...] = ()  # (name and size, where it is handed out)
    notes: tuple[str, ...] = ()
    ours: bool = False


@dataclass(frozen=True, slots=True)
class Earlier:
    """An earlier thread of the same asker or vehicle."""

    thread: int
    head: str
    wrong: str
    told: str
    outcome: str


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the history."""

    id: int
    when: str
    by: str
    what: str
    told: str
    changed: tuple[str, ...] = ()


def conversation(thread: Thread) -> tuple[Said, ...]:
    """Messages and replies in the order of time; a message without a date keeps its place."""
    messages = [
        (message.sent, _message(message, f"/attachment/{thread.id}/{number}"))
        for number, message in enumerate(thread.messages, start=1)
    ]
    replies = [(reply.at, _reply(reply)) for reply in thread.replies]
    dated = [when for when, _ in messages if when]
    start = min([*dated, *(when for when, _ in replies)], default=None)
    ordered = sorted([*messages, *replies], key=lambda pair: pair[0] or start)  # type: ignore[arg-type,return-value]
    return tuple(said for _, said in ordered)


def _message(message: Message, handed_out: str) -> Said:
    sender = message.sender.name or message.sender.email or "nobody named"
    automatic = f", automatic: {message.automatic}" if message.automatic else ""
    apart = (("quoted", message.quoted), ("forwarded", message.forwarded), ("signature", message.signature))
    files = tuple(
        (f"{file.name or 'a file'}, {_size(file.size)}", f"{handed_out}/{place}")
        for place, file in enumerate(message.attachments, start=1)
    )
    head = f"{day_and_time(message.sent)}: {message.channel} from {sender}{automatic}"
    return Said(head, message.text, tuple(pair for pair in apart if pair[1].strip()), files, message.notes)


def _size(count: int) -> str:
    return f"{count / 1e6:.1f} MB" if count >= 1e6 else f"{max(1, count // 1000)} kB"


def _reply(reply: Reply) -> Said:
    how = {"mail": "by mail", "phone": "told by phone", "chat": "by chat"}.get(reply.how, reply.how)
    return Said(f"{day_and_time(reply.at)}: {reply.by} replied, {how}", reply.text, ours=True)


def earlier_contact(prior: Sequence[Prior], pack: Pack) -> tuple[Earlier, ...]:
    """What the asker told before, newest first."""
    return tuple(_earlier(one, pack) for one in prior[:MOST_PRIOR])


def _earlier(one: Prior, pack: Pack) -> Earlier:
    same = " and ".join(f"same {same.value}" for same in one.same)
    by = " by phone" if one.channel == "phone" else ""
    told = ", ".join(dict.fromkeys(_told(fact, pack) for fact in one.facts if _is_told(fact)))
    head = f"{one.when:%d %b %Y}{by}, {STATE[one.state]}: {same}"
    return Earlier(one.thread, head.lstrip("0"), one.summary.wrong, told, one.outcome)


def _is_told(fact: Fact) -> bool:
    return fact.standing.holds and fact.standing is not Standing.INFERRED and fact.name not in ("symptom", "intent")


def _told(fact: Fact, pack: Pack) -> str:
    unsure = " (unsure)" if fact.standing is Standing.HEDGED else ""
    return f"{fact.what or label(pack.facts, fact.name)} {plain(fact.value)} {fact.unit}".rstrip() + unsure


def history(entries: Iterable[HistoryEntry]) -> tuple[Entry, ...]:
    """Who did what, newest first."""
    return tuple(_entry(entry) for entry in reversed(list(entries)))


def _entry(entry: HistoryEntry) -> Entry:
    told = ", ".join(_values(entry.after)) or ", ".join(f"was {part}" for part in _values(entry.before))
    changed = str(entry.after.get("changed", "")).splitlines()[2:]
    kept = str(entry.after.get("text", "")).splitlines()
    return Entry(entry.id, day_and_time(entry.at), signer(entry.by), entry.what.value, told, tuple(changed or kept))


def _values(values: Mapping[str, object]) -> Iterator[str]:
    for key, value in values.items():
        if key == "facts" and isinstance(value, list):
            yield from (f"{fact['name']} {_sign(fact)} {fact['value']}".replace("_", " ") for fact in value)
        elif key not in _NOT_TOLD and value not in ("", None, 0):
            yield f"{key} {' '.join(str(value).split())}".replace("_", " ")


def _sign(fact: Mapping[str, object]) -> str:
    return "is not" if fact["standing"] == Standing.DENIED.value else "is"

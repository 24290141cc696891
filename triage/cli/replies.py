"""triage reply, sent and told: the draft as a mail, and what really went out."""

from __future__ import annotations

import uuid
from email.message import EmailMessage
from email.parser import BytesParser
from email.policy import default as policy
from pathlib import Path
from typing import Annotated

import typer

from triage.cli.common import (
    ByOption,
    PackOption,
    StoreOption,
    ThreadArgument,
    now,
    open_pack,
    open_store,
    who,
    words_of,
)
from triage.cli.errors import Unusable, naming
from triage.model import Decision, Message
from triage.pack.atomic import write_files
from triage.reply.outgoing import to_eml
from triage.store import Thread

AsksOption = Annotated[bool, typer.Option("--asks", help="It asks for something: wait for the asker.")]


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    app.command("reply")(reply_command)
    app.command("sent")(sent_command)
    app.command("told")(told_command)


def reply_command(
    thread: ThreadArgument,
    to: Annotated[Path, typer.Option("--to", help="Where the .eml goes.")],
    pack: PackOption = None,
    store: StoreOption = None,
) -> None:
    """Write the draft as an .eml that opens in a mail program. Nothing is sent."""
    shop = open_pack(pack).shop
    with open_store(store) as queue:
        found = queue.thread(thread)
    if not found.drafts:
        raise Unusable(f"Thread {thread} has no draft yet. Read it first: triage queue --read")
    message_id = f"{uuid.uuid4()}@{shop.mail.rpartition('@')[2]}"
    try:
        data = to_eml(found.drafts[-1].draft, _answered(found), shop, now=now(), message_id=message_id)
    except ValueError as error:
        raise Unusable(f"Thread {thread}: {error} Then: triage told {thread}") from error
    with naming(to):
        write_files({to: data})
    print(f"Draft for thread {thread} written to {to}. After sending it: triage sent {thread} --mail {to}")


def _answered(thread: Thread) -> Message:
    """The asker's latest mail, which the reply answers."""
    return next((message for message in reversed(thread.messages) if not message.automatic), thread.messages[-1])


def sent_command(
    thread: ThreadArgument,
    text: Annotated[str, typer.Argument(help="What was really sent ('-': standard input); else the draft.")] = "",
    mail: Annotated[Path | None, typer.Option("--mail", help="The .eml that was sent; its words are kept.")] = None,
    asks: AsksOption = False,
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Record that the reply was sent by mail."""
    if mail and text:
        raise typer.BadParameter("give the words or --mail, not both.")
    words, message_id = _sent_mail(mail) if mail else (text and words_of(text), "")
    _record(thread, words, "mail", store, by, asks, message_id)


def told_command(
    thread: ThreadArgument,
    text: Annotated[str, typer.Argument(help="What was said ('-': standard input); else the draft.")] = "",
    asks: AsksOption = False,
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Record that the asker was told by phone."""
    _record(thread, text and words_of(text), "phone", store, by, asks)


def _sent_mail(file: Path) -> tuple[str, str]:
    """Its words and its Message-ID, by which the asker's answer finds the thread."""
    with naming(file):
        mail = BytesParser(_class=EmailMessage, policy=policy).parsebytes(file.read_bytes())
    body = mail.get_body(("plain",))
    words = str(body.get_content()).replace("\r\n", "\n").strip() if body else ""
    if not words:
        raise Unusable(f"{file}: holds no mail with words. Give the .eml that was sent, or the words themselves.")
    return words, str(mail.get("Message-ID", "")).strip().strip("<>")


def _record(thread: int, text: str, how: str, store: Path | None, by: str, asks: bool, message_id: str = "") -> None:
    with open_store(store) as queue:
        found = queue.thread(thread)
        words = text or (found.drafts[-1].draft.body if found.drafts else "")
        if not words:
            raise Unusable(f"Thread {thread} has no draft: say in quotes what was told.")
        waits = asks or _holds_question(found, words) or (found.decision is Decision.ASK and not text)
        queue.record_reply(thread, words, by=who(by), subject=found.subject, how=how, message_id=message_id, asks=waits)
        state = queue.thread(thread).state
    print(f"Thread {thread}: {state.label}.")


def _holds_question(thread: Thread, words: str) -> bool:
    """True when what went out holds a question that the reading wanted to ask."""
    readings = [saved.reading for saved in thread.readings]
    wanted = [gap.ask for reading in readings for gap in reading.gaps]
    wanted += [conflict.ask for reading in readings for conflict in reading.conflicts if conflict.ask]
    said = " ".join(words.split())
    return any(" ".join(question.split()) in said for question in wanted)

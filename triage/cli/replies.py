"""triage reply, sent and told: the draft as a mail, and what really went out."""

from __future__ import annotations

import uuid
from dataclasses import replace
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
    StyleOption,
    ThreadArgument,
    now,
    open_pack,
    open_store,
    who,
    words_of,
)
from triage.cli.errors import naming
from triage.desk import OURS, answered_message, asks_back, draft_in
from triage.intake import clean
from triage.model import Decision, Draft, Message
from triage.pack import Pack
from triage.pack.atomic import write_files
from triage.pack.schema import Shop
from triage.reply import Style
from triage.reply.outgoing import to_eml
from triage.store import Thread
from triage.unusable import Unusable

AsksOption = Annotated[bool, typer.Option("--asks", help="It asks for something: wait for the asker.")]


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    app.command("reply")(reply_command)
    app.command("sent")(sent_command)
    app.command("told")(told_command)


def reply_command(
    thread: ThreadArgument,
    to: Annotated[
        Path | None, typer.Option("--to", help="Where it goes: a mail as an .eml, else plain text; else printed.")
    ] = None,
    style: StyleOption = None,
    pack: PackOption = None,
    store: StoreOption = None,
    by: ByOption = "",
) -> None:
    """Write the draft as an .eml that opens in a mail program, or as plain words. Nothing is sent."""
    loaded = open_pack(pack)
    with open_store(store) as queue:
        found = queue.thread(thread)
        draft = draft_to_send(found, style, loaded)
        if style and found.state in OURS and draft != found.drafts[-1].draft:
            queue.save_draft(found.id, draft, by=who(by))
        answered = answered_message(found)
        answered = replace(answered, id=queue.header_id(answered.id))
    if to is None:
        print(draft.body)
    elif style == "mail" or to.suffix.lower() == ".eml":
        _write(to, _eml(draft, answered, loaded.shop, thread))
        print(f"Draft for thread {thread} written to {to}. After sending it: triage sent {thread} --mail {to}")
    else:
        _write(to, (draft.body + "\n").encode())
        then = f"After telling it: triage told {thread}; after sending it: triage sent {thread}"
        print(f"Draft for thread {thread} written to {to}. {then}")


def draft_to_show(thread: Thread, style: Style | None, pack: Pack | None) -> Draft | None:
    """The draft in the style asked for; without one the latest, until a reply went out."""
    if style and pack and thread.readings:
        return draft_in(style, thread, pack)
    return thread.drafts[-1].draft if thread.drafts and not thread.replies else None


def draft_to_send(thread: Thread, style: Style | None, pack: Pack) -> Draft:
    """The latest draft, or the same reply in another style. Raises Unusable where the thread was not read yet."""
    if not thread.drafts:
        raise Unusable(f"Thread {thread.id} has no draft yet. Read it first: triage queue --read")
    return draft_in(style, thread, pack) if style and thread.readings else thread.drafts[-1].draft


def _eml(draft: Draft, answered: Message, shop: Shop, thread: int) -> bytes:
    message_id = f"{uuid.uuid4()}@{shop.mail.rpartition('@')[2]}"
    try:
        return to_eml(draft, answered, shop, now=now(), message_id=message_id)
    except ValueError as error:
        raise Unusable(f"Thread {thread}: {error} Then: triage told {thread}") from error


def _write(to: Path, data: bytes) -> None:
    with naming(to):
        write_files({to: data})


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
    words = _own_words(str(body.get_content()).replace("\r\n", "\n").strip()) if body else ""
    if not words:
        raise Unusable(f"{file}: holds no mail with words. Give the .eml that was sent, or the words themselves.")
    return words, str(mail.get("Message-ID", "")).strip().strip("<>")


def _own_words(body: str) -> str:
    """What we wrote, with our sign-off; the asker's mail quoted below it is no part of the reply."""
    parts = clean(body)
    return "\n\n".join(filter(None, (parts.text, parts.signature))) if parts.quoted else body


def _record(thread: int, text: str, how: str, store: Path | None, by: str, asks: bool, message_id: str = "") -> None:
    with open_store(store) as queue:
        found = queue.thread(thread)
        words = text or (found.drafts[-1].draft.body if found.drafts else "")
        if not words:
            raise Unusable(f"Thread {thread} has no draft: say in quotes what was told.")
        waits = asks or asks_back(found, words) or (found.decision is Decision.ASK and not text)
        queue.record_reply(thread, words, by=who(by), subject=found.subject, how=how, message_id=message_id, asks=waits)
        state = queue.thread(thread).state
    print(f"Thread {thread}: {state.label}.")

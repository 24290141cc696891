"""A draft as a mail that any mail program opens: threading headers, charset, nothing sent.

Headers follow RFC 5322 3.6.4: In-Reply-To names the message answered, References its ancestors and it.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from email.errors import HeaderParseError
from email.headerregistry import Address as MailAddress
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime

from triage.model import Address, Draft, Message
from triage.pack.schema import Shop


def to_eml(draft: Draft, answered: Message, shop: Shop, *, now: datetime, message_id: str) -> bytes:
    """The reply as RFC 5322 bytes, UTF-8; ValueError when there is nobody, or no address, to write to."""
    to = answered.reply_to or answered.sender
    if not to.email:
        raise ValueError(f"{answered.sender.name or 'The asker'} left no mail address: tell them by phone instead.")
    mail = EmailMessage(policy=SMTP.clone(max_line_length=78))
    mail["From"] = _address(Address(shop.mail, shop.name))
    mail["To"] = _address(to)
    mail["Subject"] = _one_line(draft.subject)
    mail["Date"] = format_datetime(now)
    mail["Message-ID"] = f"<{message_id}>"
    if "@" in answered.id:
        mail["In-Reply-To"] = f"<{answered.id}>"
        mail["References"] = " ".join(f"<{id}>" for id in ancestors(answered))
    mail["X-Unsent"] = "1"  # opens as a message still to be sent
    mail.set_content(draft.body + "\n", charset="utf-8", cte="quoted-printable")
    return mail.as_bytes()


def ancestors(answered: Message) -> Sequence[str]:
    """References of the reply: the parent's own, else its In-Reply-To when that is one id, then the parent."""
    before = answered.references or (answered.in_reply_to if len(answered.in_reply_to) == 1 else ())
    return tuple(dict.fromkeys((*before, answered.id)))


def _address(who: Address) -> MailAddress:
    try:
        return MailAddress(display_name=_one_line(who.name), addr_spec=who.email)
    except (ValueError, HeaderParseError) as error:
        raise ValueError(f"'{who.email}' is not an address that mail can go to: tell them by phone instead.") from error


def _one_line(text: str) -> str:
    return " ".join(text.split())

"""Any bytes as a mail: refused with a reason, or a message whose questions stand in its text."""

from __future__ import annotations

from triage.intake import MalformedMessage, base_subject, parse_message, split_questions
from triage.intake.identity import content_id
from triage.model import Message

from .targets import Target


def make() -> Target:
    return one


def one(data: bytes) -> None:
    try:
        message = parse_message(data)
    except MalformedMessage as refusal:
        assert "cannot be taken apart" not in str(refusal), f"caught by the last net: {refusal}"
        return
    check(message)
    assert message.raw == data


def check(message: Message) -> None:
    """What holds for every message however it came."""
    assert message.id and content_id(message).startswith("sha256:")
    assert "\0" not in message.text
    base_subject(message.subject)
    for question in split_questions(message):
        assert question.text.strip()
        assert message.text[question.offset :].startswith(question.text)

"""Intake: mail files, folders and exports to messages, cleaned, threaded and split into questions."""

from triage.intake.automatic import automatic_reason
from triage.intake.clean import Cleaned, clean
from triage.intake.columns import ColumnMap, TextColumn, load_columns
from triage.intake.errors import IntakeError, MalformedMessage
from triage.intake.identity import content_hash, content_id, distinct_id
from triage.intake.message import from_text, parse_message
from triage.intake.placing import Place, place, thread_key
from triage.intake.questions import split_questions
from triage.intake.source import read_source
from triage.intake.subjects import base_subject, is_reply_or_forward
from triage.intake.threads import thread_messages

__all__ = [
    "Cleaned",
    "ColumnMap",
    "IntakeError",
    "MalformedMessage",
    "Place",
    "TextColumn",
    "automatic_reason",
    "base_subject",
    "clean",
    "content_hash",
    "content_id",
    "distinct_id",
    "from_text",
    "is_reply_or_forward",
    "load_columns",
    "parse_message",
    "place",
    "read_source",
    "split_questions",
    "thread_key",
    "thread_messages",
]

"""How a reply is worded: as a mail, as a chat message, or to be read out; the shop's phrases for each."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from triage.language.aloud import spoken
from triage.model import Sentence
from triage.reply.sentences import sentences
from triage.reply.wording import Phrasebook

Style = Literal["mail", "chat", "aloud"]

# Where a style has no "<style>_<key>" of its own: the key it takes instead; "" leaves the phrase out.
_INSTEAD: dict[Style, dict[str, str]] = {
    "mail": {},
    "chat": {
        "understood_intro": "chat_understood",
        "understood_tried": "",
        "conflict_intro": "chat_conflict",
        "conflict_more": "chat_conflict",
        "hand_over_urgent": "chat_hand_over",
        "safety_intro": "",
        "ask_intro": "",
        "closing_send_back": "chat_closing",
        "closing_after_answer": "",
        "closing_after_checks": "",
    },
    "aloud": {
        "greeting_named": "aloud_greeting",
        "understood_intro": "aloud_understood",
        "understood_nothing": "",
        "understood_tried": "",
        "inferred_confirm": "",
        "conflict_intro": "aloud_conflict",
        "conflict_more": "aloud_conflict",
        "emergency": "aloud_person_first",
        "hand_over_urgent": "aloud_hand_over",
        "safety_intro": "",
        "answer_likely": "aloud_answer_intro",
        "ask_intro": "",
        "closing_send_back": "",
        "closing_after_answer": "",
        "closing_after_checks": "",
        "sign_off": "",
    },
}


@dataclass(frozen=True, slots=True)
class Voice:
    """A phrasebook used in one style for one question; the question always gets the same alternatives."""

    book: Phrasebook
    style: Style
    seed: str

    def key(self, key: str) -> str:
        """The key this style words it by; "" when it leaves it out."""
        own = f"{self.style}_{key}"
        return own if self.book.has(own) else _INSTEAD[self.style].get(key, key)

    def say(self, key: str, **values: object) -> str:
        """The phrase; "" where the style leaves it out."""
        chosen = self.key(key)
        return self.book.say(chosen, self.seed, **values) if chosen else ""

    def said(self, key: str, paragraph: int = 0, **values: object) -> Iterator[Sentence]:
        """The phrase as sentences that name its key."""
        for sentence in sentences(self.say(key, **values)):
            yield Sentence(sentence, f"wording:{self.key(key)}", paragraph)

    def line(self, text: str, source: str, mark: str = "- ", paragraph: int = 0) -> Iterator[Sentence]:
        """A text on a line of its own, set off by a mark; read out, it has none."""
        for position, sentence in enumerate(sentences(text)):
            first = position == 0 and self.style != "aloud"
            yield Sentence(f"{mark}{sentence}" if first else sentence, source, paragraph, first)

    def finished(self, text: str) -> str:
        """The text in the shop's spelling and, to be read out, with numbers and units as they are said."""
        spelled = self.book.spelled(text)
        return spoken(spelled, self.book.forms) if self.style == "aloud" else spelled


_AFTER_COLON = re.compile(r"(?<=: )[A-Z][a-z]*\b")


def lower_after_colon(text: str, names: frozenset[str]) -> str:
    """A sentence that follows a colon goes on in lower case, unless it starts with a name.

    >>> lower_after_colon("One thing puzzles me: The dial says 48.", frozenset())
    'One thing puzzles me: the dial says 48.'
    """
    return _AFTER_COLON.sub(lambda found: found[0] if found[0] in names or found[0] == "I" else found[0].lower(), text)

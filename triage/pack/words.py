"""trade/words.yaml: the words of the trade, and how one part's words add to another's."""

from __future__ import annotations

from dataclasses import field, fields
from typing import Any

from pydantic import ConfigDict
from pydantic.dataclasses import dataclass

from triage.pack.schema import Text

_STRICT = ConfigDict(extra="forbid")
Phrases = dict[str, list[Text]]


@dataclass(frozen=True, config=_STRICT)
class Implication:
    """Words from which a fact follows: "filler caps" -> battery_chemistry flooded."""

    phrases: list[Text]
    fact: Text
    value: Text
    unless: list[Text] = field(default_factory=list)  # words that take it back


@dataclass(frozen=True, config=_STRICT)
class Words:
    """All word lists of the trade; every key is optional."""

    values: dict[str, Phrases] = field(default_factory=dict)  # fact id -> value -> phrases
    cues: Phrases = field(default_factory=dict)
    parts: Phrases = field(default_factory=dict)  # canonical part -> what people call it
    components: Phrases = field(default_factory=dict)
    implies: list[Implication] = field(default_factory=list)
    intents: Phrases = field(default_factory=dict)
    modifications: Phrases = field(default_factory=dict)
    uses: Phrases = field(default_factory=dict)
    work: Phrases = field(default_factory=dict)  # "replaced" -> "swapped out"
    done: Phrases = field(default_factory=dict)  # work told with its object: "oil changed" -> "did an oil change"
    outcomes: Phrases = field(default_factory=dict)  # how a test or repair came out
    units: Phrases = field(default_factory=dict)  # unit symbol -> how people write it
    spelling: dict[str, Text] = field(default_factory=dict)  # british -> american
    typos: dict[str, Text] = field(default_factory=dict)  # wrong -> right


def add_words(base: Words, more: Words) -> Words:
    """Both together: lists are joined without repeats; a single word of `more` replaces one of `base`."""
    return Words(**{f.name: _add(getattr(base, f.name), getattr(more, f.name)) for f in fields(Words)})


def _add(base: Any, more: Any) -> Any:
    if isinstance(base, dict) and isinstance(more, dict):
        return base | {key: _add(base[key], value) if key in base else value for key, value in more.items()}
    if isinstance(base, list) and isinstance(more, list):
        return base + [item for item in more if item not in base]
    return more

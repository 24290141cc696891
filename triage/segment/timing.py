"""How long words take to say, and how fast this host speaks."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

# Rodero (2012), "A comparative analysis of speech rate and perception in radio bulletins", Text & Talk 32(3), 391-411:
# most authors on radio recommend 160 to 180 words a minute. Advice with figures to note down is read at the slow end.
WORDS_PER_MINUTE = 160.0
# Liu and others (2022), Frontiers in Psychology 13, 778018: pauses of 0.6 s at punctuation sound most natural. Half of
# it within a sentence is from memory.
SENTENCE_PAUSE = 0.6  # s
INNER_PAUSE = 0.3  # s
WORDS_A_PAUSE = 15.0  # a sentence of this length with one inner pause is what a rate of words a minute is told of
LEAST_A_WORD = 0.1  # s
PRIOR_MINUTES = 20.0  # of speech at the default rate, that a host's own minutes are weighed against
BELIEVABLE = (80.0, 260.0)  # words a minute; outside of it something else went on

_WORD = re.compile(r"[^\W_]+(?:['’.][^\W_]+)*")
_SENTENCE = re.compile(r"[.!?]+(?=\s|$)")
_INNER = re.compile(r"[,;:–—](?=\s)")


@dataclass(frozen=True, slots=True)
class Spell:
    """Something said from the sheet: its words and how long it took."""

    words: int
    seconds: float


def count_words(text: str) -> int:
    """Words as they are said: the parts of "thirty-six" are two."""
    return len(_WORD.findall(text))


def seconds(text: str, words_per_minute: float = WORDS_PER_MINUTE) -> float:
    """How long a spoken text takes, in seconds: words and the pauses at its punctuation.

    The rate counts ordinary pauses in, as published rates do: a text of many short sentences takes longer.
    """
    words = count_words(text)
    pauses = len(_SENTENCE.findall(text.strip())) * SENTENCE_PAUSE + len(_INNER.findall(text)) * INNER_PAUSE
    each = 60 / words_per_minute - (SENTENCE_PAUSE + INNER_PAUSE) / WORDS_A_PAUSE
    return words * max(each, LEAST_A_WORD) + pauses


def rate_of(spells: Iterable[Spell]) -> float:
    """The host's words a minute, learned from what earlier programmes took, drawn towards the default.

    It is the mean of a gamma belief with PRIOR_MINUTES behind the default: twenty minutes of the host's own weigh as
    much as the published rate. A spell at an unbelievable rate was interrupted and does not count.
    """
    words, minutes = WORDS_PER_MINUTE * PRIOR_MINUTES, PRIOR_MINUTES
    for spell in spells:
        if spell.seconds > 0 and BELIEVABLE[0] <= spell.words / spell.seconds * 60 <= BELIEVABLE[1]:
            words, minutes = words + spell.words, minutes + spell.seconds / 60
    return words / minutes

"""Topics without an answer: what was asked and badly answered, grouped by meaning and facts, named by its own words."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from triage.growth.proposal import Topic
from triage.language.stem import stem
from triage.language.tokens import tokenise

FACT_WEIGHT = 0.35  # length of the part that facts add to a unit vector of meaning
SMALLEST = 2  # questions that make a topic
NAMED_BY = 3  # words
TOGETHER = 0.4  # mean cosine of a group's questions, below which they are of no one matter
WORDS = 8
READ_PER_MINUTE = 238  # words of non-fiction read silently (Brysbaert 2019, doi 10.1016/j.jml.2019.104047)
WRITTEN_PER_MINUTE = 19  # words composed at a keyboard (Karat et al. 1999, doi 10.1145/302979.303160)

Vectors = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Asked:
    """A question that got no answer of the base, or not a good one."""

    thread: int
    asker: str
    on: date
    text: str  # without the vehicle's name
    vector: Vectors  # unit vector of its meaning, (dimension,)
    facts: frozenset[str]  # "symptom=slow_uphill", "part=heater"
    minutes: float  # of staff time


def minutes_of(read: Iterable[str], written: Iterable[str]) -> float:
    """Minutes of staff time that reading and writing so many words takes, by published rates."""
    words_read, words_written = (sum(len(text.split()) for text in texts) for texts in (read, written))
    return words_read / READ_PER_MINUTE + words_written / WRITTEN_PER_MINUTE


def topics(asked: Sequence[Asked], today: date, plain: frozenset[str] = frozenset()) -> tuple[Topic, ...]:
    """Groups of questions of one matter, most askers first; `plain` are folded words that name nothing.

    What stands alone is no topic yet.
    """
    if len(asked) <= SMALLEST:
        return ()
    labels = _groups(asked)
    groups = [[one for one, label in zip(asked, labels, strict=True) if label == group] for group in set(labels)]
    rare = _rarity(asked, plain)
    whole = [group for group, label in zip(groups, set(labels), strict=True) if label >= 0 and _of_one(group)]
    found = [_topic(group, rare, today) for group in whole]
    return tuple(sorted(found, key=lambda topic: (-topic.askers, -topic.minutes, topic.name)))


def _groups(asked: Sequence[Asked]) -> list[int]:
    """Group of each question; -1 of those that stand alone."""
    from sklearn.cluster import HDBSCAN  # seconds to bring in

    model = HDBSCAN(min_cluster_size=SMALLEST, min_samples=1, cluster_selection_method="leaf", copy=True)
    return [int(label) for label in model.fit_predict(_points(asked))]


def _of_one(group: Sequence[Asked]) -> bool:
    vectors = np.stack([one.vector for one in group])
    pairs = len(group) * (len(group) - 1)
    return bool(((vectors @ vectors.T).sum() - len(group)) / pairs >= TOGETHER)


def _points(asked: Sequence[Asked]) -> Vectors:
    """Meaning beside facts: (questions, dimension + facts)."""
    names = sorted({name for one in asked for name in one.facts})
    facts = np.zeros((len(asked), len(names)), np.float32)
    for row, one in zip(facts, asked, strict=True):
        row[[names.index(name) for name in one.facts]] = FACT_WEIGHT / math.sqrt(max(1, len(one.facts)))
    return np.hstack([np.stack([one.vector for one in asked]), facts])


def _rarity(asked: Sequence[Asked], plain: frozenset[str]) -> dict[str, float]:
    """ln(1 + N / n), n of N questions having the word (class-based tf-idf, Grootendorst 2022, arXiv 2203.05794)."""
    from sklearn.feature_extraction.text import ENGLISH_STOP_WORDS

    empty = plain | {stem(word) for word in ENGLISH_STOP_WORDS}
    counts = Counter(word for one in asked for word in set(_words(one.text)) - empty)
    return {word: math.log(1 + len(asked) / count) for word, count in counts.items()}


def _topic(group: Sequence[Asked], rare: dict[str, float], today: date) -> Topic:
    ordered = sorted(group, key=lambda one: (one.on, one.thread))
    counts = Counter(word for one in group for word in set(_words(one.text)))
    often = {word for word in counts if counts[word] > 1}
    telling = sorted(
        (word for word in often or counts if word in rare), key=lambda word: (-counts[word] * rare[word], word)
    )
    shown = [_as_written(word, group) for word in telling[:WORDS]]
    return Topic(
        name=" ".join(shown[:NAMED_BY]) or "without words",
        words=tuple(shown),
        threads=tuple(one.thread for one in ordered),
        askers=len({one.asker for one in group}),
        days=(today - ordered[0].on).days,
        minutes=round(sum(one.minutes for one in group), 1),
        asked=tuple(one.on for one in ordered),
    )


def _words(text: str) -> list[str]:
    return [token.stem for token in tokenise(text) if token.is_word and len(token.stem) > 2]


def _as_written(stem: str, group: Sequence[Asked]) -> str:
    forms = Counter(token.norm for one in group for token in tokenise(one.text) if token.stem == stem)
    return forms.most_common(1)[0][0]

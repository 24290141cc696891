"""Topics: questions of one matter are grouped and named by their own words."""

from __future__ import annotations

from datetime import date

import pytest

from tests.toys import Words
from triage.growth.topics import Asked, minutes_of, topics

TODAY = date(2026, 11, 25)
TEXTS = [
    "is there a heater for the screen, it mists up",
    "can you fit a heater, the screen mists up inside",
    "want a screen heater against mist",
    "which spark plug gap is right",
    "what gap for the spark plug please",
    "spark plug gap, new plug",
    "my neighbour sells honey at the gate",
]


def asked(texts: list[str]) -> list[Asked]:
    vectors = Words().encode(texts)
    days = [date(2026, 11, 1 + number) for number in range(len(texts))]
    return [
        Asked(n, f"asker {n % 6}", day, text, vector, frozenset(), 2.0)
        for n, (text, vector, day) in enumerate(zip(texts, vectors, days, strict=True))
    ]


def test_two_matters_are_two_topics_and_what_stands_alone_is_none() -> None:
    found = topics(asked(TEXTS), TODAY)
    assert {topic.threads for topic in found} == {(0, 1, 2), (3, 4, 5)}
    by_first = {topic.threads[0]: topic for topic in found}
    assert {"heater", "screen"} <= set(by_first[0].name.split())
    assert {"spark", "plug", "gap"} == set(by_first[3].name.split())
    assert (by_first[0].askers, by_first[0].days, by_first[0].minutes) == (3, 24, 6.0)


def test_one_question_is_no_topic() -> None:
    assert topics(asked(TEXTS[:1]), TODAY) == ()


def test_staff_time_is_words_by_published_rates() -> None:
    """238 words read are a minute (Brysbaert 2019), 19 words composed are another (Karat et al. 1999)."""
    assert minutes_of(["word " * 238], ["word " * 19]) == pytest.approx(2.0)

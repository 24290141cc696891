"""Toys with known answers: an encoder that knows words only, facts and answers in a line each."""

from __future__ import annotations

import re
from collections.abc import Sequence
from zlib import crc32

import numpy as np

from triage.matching.encode import Vectors
from triage.model import Fact, FactValue, Standing
from triage.pack.schema import Answer, AppliesTo


class OneHot:
    """One direction per word of a small vocabulary: the cosine of two texts is exact and can be done by hand."""

    def __init__(self, *words: str) -> None:
        self._place = {word: number for number, word in enumerate(words)}
        self.tag, self.dimension = "one-hot/toy", len(words)
        self.encoded: list[str] = []

    def encode(self, texts: Sequence[str]) -> Vectors:
        self.encoded += texts
        rows = np.zeros((len(texts), self.dimension), np.float32)
        for row, text in zip(rows, texts, strict=True):
            for word in re.findall(r"\w+", text.lower()):
                if word in self._place:
                    row[self._place[word]] = 1.0
        return rows / np.maximum(np.linalg.norm(rows, axis=1, keepdims=True), 1e-9)


class Words:
    """Any text to a vector of its words, hashed; alike only where words are shared."""

    def __init__(self, tag: str = "words/toy", dimension: int = 2048) -> None:
        self.tag, self.dimension = tag, dimension
        self.encoded: list[str] = []

    def encode(self, texts: Sequence[str]) -> Vectors:
        self.encoded += texts
        rows = np.zeros((len(texts), self.dimension), np.float32)
        for row, text in zip(rows, texts, strict=True):
            for word in re.findall(r"\w{3,}", text.lower()):
                row[crc32(word.encode()) % self.dimension] += 1.0
        return rows / np.maximum(np.linalg.norm(rows, axis=1, keepdims=True), 1e-9)


def fact(name: str, value: FactValue, standing: Standing = Standing.STATED, **more: object) -> Fact:
    """A fact in a line; volts get their unit."""
    unit = "V" if name in ("pack_voltage", "battery_voltage") else ""
    return Fact(name, value, unit, standing, **more)  # type: ignore[arg-type]


def held(*facts: Fact) -> dict[str, Fact]:
    """What holds, by name."""
    return {item.name: item for item in facts}


def answer(id: str, question: str = "", text: str = "", **scope: object) -> Answer:
    """An answer whose scope is given by keyword."""
    more = {"text": text} if text else {}
    applies_to = AppliesTo(**scope)  # type: ignore[arg-type]
    return Answer(id=id, title=id, question=question or id, applies_to=applies_to, **more)

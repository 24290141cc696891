"""What a message wants, by its likeness to told examples together with its words of asking."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from triage.language import Document
from triage.model import Fact, Standing

Floats = NDArray[np.float64]
# chosen by reading the tuning questions of three shops after learning from the examples alone
RIDGE = 4.0
SIGNS_WEIGHT = 0.35  # of the words of asking beside the vectors, which are of unit length
SHARPNESS = 4.0  # of the shares; of 2, 4 and 6 as good as any for ranking, on shops it was not fitted on
_LAST_SENTENCES = 12  # the thing asked is looked for in the last ones of a long letter
_MOST_WORDS = 80


@dataclass(frozen=True)
class Heard:
    """A message as the reading sees it: its vector, that of the sentence that asks, and its words of asking."""

    whole: NDArray[np.float32]  # (dimension,)
    asking: NDArray[np.float32]  # (dimension,)
    signs: Floats  # (signs,)

    def row(self) -> Floats:
        """All of it as one row with a constant at the end."""
        return np.concatenate([self.whole, self.asking, self.signs * SIGNS_WEIGHT, [1.0]]).astype(np.float64)


def asking_sentence(document: Document) -> int:
    """The sentence that asks, counted from the end (-1 is the last): the last with a question mark, else the last."""
    spans = document.sentences[-_LAST_SENTENCES:]
    asked = [i for i, span in enumerate(spans) if document.text[span.start : span.end].rstrip().endswith("?")]
    return asked[-1] - len(spans) if asked else -1


def signs(document: Document, facts: Sequence[Fact], intents: Sequence[str]) -> Floats:
    """What the words say: the intent read by rules, how often each intent's words occur, symptoms, readings, length."""
    told = next((str(fact.value) for fact in facts if fact.name == "intent" and not fact.message), "")
    words = [mention.entry.key for mention in document.of_kind("intent")]
    symptoms = sum(fact.name == "symptom" and fact.standing.holds for fact in facts)
    return np.array(
        [
            *(float(told == intent) for intent in intents),
            *(min(words.count(intent), 2) / 2 for intent in intents),
            min(symptoms, 2) / 2,
            min(words.count("diagnose"), 3) / 3,
            float("?" in document.text),
            min(len(document.tokens), _MOST_WORDS) / _MOST_WORDS,
            float(any(fact.name == "measurement" for fact in facts)),
        ]
    )


@dataclass(frozen=True)
class IntentReader:
    """A linear reading; without examples it leaves the intent as the rules read it."""

    intents: tuple[str, ...]
    weights: Floats  # (features, intents)

    @classmethod
    def learn(cls, examples: Mapping[str, Sequence[Heard]]) -> IntentReader:
        """Ridge regression of each intent's examples against all others."""
        rows = [heard.row() for told in examples.values() for heard in told]
        if not rows:
            return cls((), np.zeros((0, 0)))
        owners = [index for index, told in enumerate(examples.values()) for _ in told]
        target = np.where(np.arange(len(examples)) == np.array(owners)[:, None], 1.0, -1.0)
        table = np.stack(rows)
        square = table.T @ table + RIDGE * np.eye(table.shape[1])
        return cls(tuple(examples), np.linalg.solve(square, table.T @ target).astype(np.float64))

    def shares(self, heard: Heard) -> Floats:
        """How much a message sounds like each intent, (intents,), adding up to 1; empty without examples."""
        if not self.intents:
            return np.zeros(0)
        scores = np.exp(SHARPNESS * (heard.row() @ self.weights))
        return np.asarray(scores / scores.sum(), np.float64)

    def read(self, facts: Sequence[Fact], document: Document, heard: Heard) -> tuple[Fact, ...]:
        """The facts with the intent that the message is likest to; one set by a person stays."""
        told = next((fact for fact in facts if fact.name == "intent" and not fact.message), None)
        if not self.intents or not document.tokens or (told is not None and told.span is None):
            return tuple(facts)
        intent = self.intents[int((heard.row() @ self.weights).argmax())]
        if told is not None and told.value == intent:
            return tuple(facts)
        span = document.sentences[asking_sentence(document)]
        basis = f"likest to messages that want '{intent}'"
        read = Fact("intent", intent, "", Standing.INFERRED, span, basis)
        if told is None:
            return (*facts, read)
        return tuple(replace(read, vehicle=told.vehicle) if fact is told else fact for fact in facts)

"""Rank the answers for one question and say how probable each is: a conditional logit with "none fits" as a choice."""

from __future__ import annotations

import json
from dataclasses import dataclass
from heapq import nsmallest
from pathlib import Path

import numpy as np

from triage.matching import twins
from triage.matching.features import FEATURES, Ask, Floats, Heard, Seen, features
from triage.matching.index import AnswerIndex
from triage.model import Match

__all__ = ["FEATURES", "RANKER_FILE", "Ask", "Ranker", "choose", "features", "rank"]

RANKER_FILE = Path(__file__).parent / "ranker.json"
KEPT = 10


@dataclass(frozen=True)
class Ranker:
    """Weights of the features, the score of "none fits", and a temperature."""

    weights: tuple[float, ...]
    none: float  # score of "nothing in the base fits"
    elsewhere: float = 0.0  # what it gains for a question that sounds like post no answer is for
    temperature: float = 1.0
    within: float = 1.0  # largest 1 - probability in the conformal set; 1 takes all
    nearest: float = 0.0  # what "none" gains with the best likeness: a question told plainly is near to every answer

    @classmethod
    def load(cls, file: Path = RANKER_FILE) -> Ranker:
        """The shipped (or a refitted) ranker. Raises ValueError when it is for other features."""
        data = json.loads(file.read_text(encoding="utf-8"))
        if tuple(data.pop("features")) != FEATURES:
            raise ValueError(f"{file} was fitted for other features; refit it with 'python -m eval.fit_ranker'.")
        return cls(tuple(data.pop("weights")), **data)


def rank(index: AnswerIndex, ask: Ask, ranker: Ranker, heard: Heard | None = None) -> tuple[tuple[Match, ...], float]:
    """The likeliest answers, best first, and the probability that none fits. Excluded answers are left out.

    `heard` is what `hear` made of the same question, where it is ranked again with other facts.
    """
    if not len(index):
        return (), 1.0
    seen = features(index, ask, heard)
    shares, none = choose(seen, ask.elsewhere, ranker)
    free = np.flatnonzero(~seen.excluded).tolist()
    kept = nsmallest(KEPT, free, key=lambda i: (-shares[i], index.answers[seen.numbers[i]].id))
    numbers = [int(seen.numbers[i]) for i in kept]
    joined = twins.merged([shares[i] for i in kept], index.whole(numbers), [index.scopes[n] for n in numbers])
    best_first = sorted(range(len(kept)), key=lambda i: -joined[i])
    return tuple(_match(index, seen, kept[i], joined[i], ask, ranker.within) for i in best_first), none


def choose(seen: Seen, elsewhere: float, ranker: Ranker) -> tuple[Floats, float]:
    """Probabilities of the answers and of none: softmax over the scores and the score of none."""
    scores = seen.matrix @ np.array(ranker.weights)
    scores[seen.excluded] = -np.inf
    none = ranker.none + ranker.elsewhere * elsewhere + ranker.nearest * seen.nearest
    logits = np.append(scores, none) / ranker.temperature
    shifted = np.exp(logits - logits[np.isfinite(logits)].max())
    shares = shifted / shifted.sum()
    return shares[:-1], float(shares[-1])


def _match(index: AnswerIndex, seen: Seen, place: int, probability: float, ask: Ask, within: float) -> Match:
    number, item, row = seen.numbers[place], seen.fits[place], seen.matrix[place]
    why = [*item.why]
    told = index.told[number]
    if shared := ask.symptoms & told.symptoms:
        why.append("tells of: " + ", ".join(sorted(shared)))
    if dangers := ask.dangers & told.dangers:
        why.append("is about the danger told: " + ", ".join(sorted(dangers)))
    why.append(f"likeness of the wording {max(row[0], row[1]):.2f}")
    against = (*item.against, *(f"not told: {name}" for name in item.unknown))
    share, plausible = round(float(probability), 4), 1.0 - probability <= within
    unlisted = bool(item.foreign) and not item.near
    return Match(
        index.answers[number].id, share, tuple(why), against, item.near, bool(plausible), unlisted, item.unknown
    )

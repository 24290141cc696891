"""What was learned, in plain words for the person who decides whether to keep it."""

from __future__ import annotations

from collections.abc import Iterator

from triage.growth.learn import Held, Learnt, coefficients_of
from triage.growth.learn_logit import COLUMNS
from triage.matching.rank import Ranker

MOST_MOVED = 3
ONE_VOICE = 0.5  # share of the lessons from which one person is said to weigh most
_NAMES = {
    "whole": "likeness to how an answer's question is worded",
    "full": "likeness to the whole answer",
    "passage": "likeness to an answer's best paragraph",
    "title": "likeness to an answer's title",
    "votes": "what the single sentences of a question add up to",
    "words": "words in common",
    "grams": "likeness in spelling",
    "parts": "parts named in both",
    "symptoms": "symptoms told in both",
    "danger": "the danger told is the one an answer is about",
    "needs": "the facts an answer turns on were told",
    "agrees": "the vehicle is one the answer is for",
    "doubts": "a vehicle the catalogue puts in doubt",
    "foreign": "a vehicle that is not listed",
    "contested": "a vehicle told with doubt",
    "none": "how soon nothing fits",
    "elsewhere": "sounding like other post",
    "nearest": "how near any answer must come",
}


def report(learnt: Learnt, shipped: Ranker) -> tuple[str, ...]:
    """The lines of the report."""
    return tuple(_lines(learnt, shipped))


def _lines(learnt: Learnt, shipped: Ranker) -> Iterator[str]:
    total = sum(learnt.counts.values())
    kinds = ", ".join(f"{number} {became.value}" for became, number in sorted(learnt.counts.items()))
    yield f"{total} answered threads teach something: {kinds}." if total else "No answered thread teaches anything yet."
    yield from _voices(learnt)
    if learnt.by_thread:
        yield from _judged(learnt.by_thread)
        yield from _people(learnt)
        yield from _moved(learnt.ranker, shipped)
    yield f"{'Worth keeping' if learnt.keep else 'Not kept'}: {learnt.why}."


def _voices(learnt: Learnt) -> Iterator[str]:
    shares = sorted(learnt.persons.items(), key=lambda item: (-item[1], item[0]))
    if len(shares) > 1:
        told = ", ".join(f"{who} {share:.0%}" for who, share in shares)
        yield f"How much each person's lessons count, after the limit on any one: {told}."
    if shares and shares[0][1] > ONE_VOICE:
        yield f"Most of it is the word of one person ({shares[0][0]}): look at the outcome with that in mind."


def _judged(held: Held) -> Iterator[str]:
    yield (
        f"On threads not learned from, the right answer came first in {held.right_after:.0%} "
        f"({held.right_before:.0%} before)."
    )
    yield (
        f"Surprise at the right answer (log loss) {held.before:.3f} -> {held.after:.3f}: a gain of {held.gain:+.3f}, "
        f"with 95 % certainty between {held.low:+.3f} and {held.high:+.3f}."
    )


def _people(learnt: Learnt) -> Iterator[str]:
    if len(learnt.gains) > 1:
        told = ", ".join(f"{who} {gain:+.3f}" for who, gain in learnt.gains.items())
        yield f"Gain on each person's threads when learned from all others: {told}."


def _moved(ranker: Ranker, shipped: Ranker) -> Iterator[str]:
    now, then = coefficients_of(ranker), coefficients_of(shipped)
    steps = sorted(zip(COLUMNS, then, now, strict=True), key=lambda step: -abs(step[2] - step[1]) / (1 + abs(step[1])))
    for name, was, became in steps[:MOST_MOVED]:
        direction = "more" if became > was else "less"
        yield f"Counts {direction} than before: {_NAMES.get(name, name)} ({was:.2f} -> {became:.2f})."

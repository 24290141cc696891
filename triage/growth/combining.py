"""Answers put together, and one taken apart, as an editor asks for it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from triage.growth.body import is_branch, laid_out, with_branch, with_sentences
from triage.growth.propose import sentences_of
from triage.pack.schema import Answer, AppliesTo

_LISTS = ("needs", "hazards", "follow_ups", "symptoms", "causes", "checks", "intents", "tags")


def together(first: Answer, *more: Answer) -> Answer:
    """The first answer with what the others say beside it; it takes their place, and is for the vehicles of all."""
    merged = first
    for other in more:
        text, known = merged.text, set(sentences_of(merged))
        new = [sentence for sentence in sentences_of(other) if sentence not in known]
        for branch in filter(is_branch, new):
            text = with_branch(text, branch)
        text = with_sentences(text, [sentence for sentence in new if not is_branch(sentence)])
        lists: dict[str, Any] = {key: _union(getattr(merged, key), getattr(other, key)) for key in _LISTS}
        asked = [one for one in (*merged.variants, other.question, *other.variants) if one != merged.question]
        merged = replace(
            merged,
            text=text,
            variants=_union(asked, ()),
            applies_to=either(merged.applies_to, other.applies_to),
            replaces=[name for name in _union(merged.replaces, [other.id]) if name != first.id],
            author=" and ".join(_union([merged.author], [other.author])),
            **lists,
        )
    return merged


def either(one: AppliesTo, other: AppliesTo) -> AppliesTo:
    """The range that holds the vehicles of both; what one leaves open stays open."""
    lists: dict[str, Any] = {
        key: _union(getattr(one, key), getattr(other, key)) if getattr(one, key) and getattr(other, key) else []
        for key in ("makes", "models", "voltages", "chemistries", "controllers")
    }
    first = min(one.year_from, other.year_from) if one.year_from and other.year_from else None
    last = max(one.year_to, other.year_to) if one.year_to and other.year_to else None
    powertrain = one.powertrain if one.powertrain == other.powertrain else None
    return AppliesTo(powertrain=powertrain, year_from=first, year_to=last, **lists)


def apart(answer: Answer, places: Iterable[int], title: str, question: str, id: str) -> tuple[Answer, Answer]:
    """The sentences at these places (1 is the first) as an answer of their own, and the rest. Raises ValueError.

    Both keep range, needs and hazards: an editor narrows them.
    """
    every = sentences_of(answer)
    wanted = sorted(set(places))
    if not wanted or wanted[0] < 1 or wanted[-1] > len(every) or len(wanted) == len(every):
        raise ValueError(f"Name some of the sentences 1 to {len(every)}, not all of them.")
    taken = [every[place - 1] for place in wanted]
    rest = [text for place, text in enumerate(every, 1) if place not in wanted]
    second = replace(answer, id=id, title=title, question=question, text=laid_out(taken), variants=[], replaces=[])
    return replace(answer, text=laid_out(rest)), second


def _union(one: Sequence[Any], other: Sequence[Any]) -> list[Any]:
    return list(dict.fromkeys(item for item in (*one, *other) if item != ""))

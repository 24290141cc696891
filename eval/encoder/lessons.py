"""What the encoder is taught by: the pack's sentences in groups that tell the same.

No labelled question is among them: what it finds in the questions of a shop is then no memory of that shop.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from eval.shops import KNOWLEDGE
from triage.pack import Pack, load

ALIKE = "sh"  # first letters of groups whose sentences tell the same; calm sentences only tell others apart


def groups() -> Mapping[str, tuple[str, ...]]:
    """Sentences by what they tell: "s:" a symptom, "h:" a danger, "c:" and "none:" nothing of either."""
    pack, found = load(KNOWLEDGE), dict[str, list[str]]()
    for name, sentences in _groups(pack):
        found.setdefault(name, []).extend(sentences)
    return {name: tuple(dict.fromkeys(sentences)) for name, sentences in found.items() if sentences}


def _groups(pack: Pack) -> Iterator[tuple[str, tuple[str, ...]]]:
    yield from ((f"s:{item.id}", item.examples) for item in pack.symptoms.values())
    for told in pack.symptoms_told.values():
        known = told.id in pack.symptoms
        yield (f"s:{told.id}", told.sentences) if known else (f"none:{told.id}", (*told.sentences, *told.unlike))
    yield from ((f"h:{item.id}", item.examples) for item in pack.hazards.values())
    yield from ((f"h:{item.id}", item.sentences) for item in pack.told.values())
    yield from ((f"c:{item.id}", item.sentences) for item in pack.calm.values())

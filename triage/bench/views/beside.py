"""Two drafts side by side, and both people's changes brought together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher

from triage.bench.views.letter import Block, blocks_of
from triage.model import Draft, Sentence
from triage.reply.readability import reading_ease

CHOOSE = "choose:"  # source prefix of what both changed: a person keeps one


@dataclass(frozen=True, slots=True)
class Row:
    """One stretch of two texts; `same` where they agree."""

    left: str
    right: str
    same: bool


def side_by_side(left: Draft, right: Draft) -> tuple[Row, ...]:
    """The blocks of both, those that agree on one row."""
    one, two = _texts(blocks_of(left)), _texts(blocks_of(right))
    rows = []
    for kind, a, b, c, d in SequenceMatcher(None, one, two, autojunk=False).get_opcodes():
        rows.append(Row("\n\n".join(one[a:b]), "\n\n".join(two[c:d]), kind == "equal"))
    return tuple(rows)


def _texts(blocks: Sequence[Block]) -> list[str]:
    return [block.text for block in blocks]


def brought_together(base: Draft, mine: Draft, theirs: Draft) -> Draft:
    """What each changed in `base`, in one draft; where both changed the same, theirs and then mine, marked CHOOSE."""
    blocks = tuple(_merged(blocks_of(base), blocks_of(mine), blocks_of(theirs)))
    whole = replace(theirs, sentences=tuple(_sentences(blocks)))
    return replace(whole, reading_ease=reading_ease(whole.body))


def _merged(base: Sequence[Block], mine: Sequence[Block], theirs: Sequence[Block]) -> Iterator[Block]:
    """Between two places where all three agree, the side that changed something; both where both did."""
    places = [*_anchors(base, mine, theirs), (len(base), len(mine), len(theirs))]
    b = m = t = 0
    for next_b, next_m, next_t in places:
        yield from _between(base[b:next_b], mine[m:next_m], theirs[t:next_t])
        yield from theirs[next_t : next_t + 1]
        b, m, t = next_b + 1, next_m + 1, next_t + 1


def _anchors(base: Sequence[Block], mine: Sequence[Block], theirs: Sequence[Block]) -> Iterator[tuple[int, int, int]]:
    to_mine, to_theirs = _agreeing(base, mine), _agreeing(base, theirs)
    yield from ((b, to_mine[b], to_theirs[b]) for b in range(len(base)) if b in to_mine and b in to_theirs)


def _agreeing(base: Sequence[Block], other: Sequence[Block]) -> dict[int, int]:
    matcher = SequenceMatcher(None, _texts(base), _texts(other), autojunk=False)
    return {b + k: o + k for b, o, size in matcher.get_matching_blocks() for k in range(size)}


def _between(base: Sequence[Block], mine: Sequence[Block], theirs: Sequence[Block]) -> Iterator[Block]:
    was, one, two = _texts(base), _texts(mine), _texts(theirs)
    if one in (was, two):
        yield from theirs
    elif two == was:
        yield from mine
    elif len(was) == len(one) == len(two) > 1:
        for number in range(len(was)):
            here = slice(number, number + 1)
            yield from _between(base[here], mine[here], theirs[here])
    else:
        yield from (replace(block, source=f"{CHOOSE}{block.source}") for block in (*theirs, *mine))


def _sentences(blocks: Sequence[Block]) -> Iterator[Sentence]:
    paragraph = -1
    for block in blocks:
        paragraph += block.opens or paragraph < 0
        yield from (replace(s, source=block.source, paragraph=paragraph) for s in block.sentences)

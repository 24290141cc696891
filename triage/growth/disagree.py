"""Sentences that cannot both be right: alike in their matter, for vehicles that may be the same, and at odds in a
number, a direction, a part, a permission or in yes and no.

Two sentences are alike when one has no matter of its own beside the other's, or nearly all is shared: "use distilled
water" and "never use tap water" each have a word of their own and are about different things.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from triage.growth.figures import Figure, agree, comparable
from triage.growth.overlap import may_meet, scopes_meet, shared
from triage.growth.proposal import Disagreement
from triage.growth.statements import Reader, Statement
from triage.pack.schema import Answer, Vehicle

ALIKE = 0.5  # shared matter over all matter
PART_WEIGHT = 2  # of the name of a part beside another word
NEARLY = 0.75  # the same, where both sentences have matter of their own
SAID = 0.6  # shared matter from which a yes and a no are said of one thing
MEASURED = 0.65  # shared matter from which two figures are of one thing
ENOUGH = 2  # words (or sides of opposites) that a yes and a no must share
MOST_NAMED = 8  # vehicles named beside a disagreement
_NOT = frozenset({"must_not", "need_not"})


@dataclass(frozen=True, slots=True)
class _Pair:
    one: Statement
    other: Statement

    @property
    def flips(self) -> list[str]:
        """Pairs of opposites of which the two tell different sides."""
        return _flips(self.one.sides, self.other.sides)

    @property
    def alike(self) -> bool:
        """Their matter is the same."""
        return _alike(self.one.matter, self.other.matter, ALIKE, self.weights)

    @property
    def weights(self) -> Mapping[str, int]:
        """Names of parts weigh more."""
        keys = {key for statement in (self.one, self.other) for part in statement.parts.values() for key in part.keys}
        return dict.fromkeys(keys, PART_WEIGHT)

    @property
    def same_class(self) -> bool:
        """For the same vehicles and kinds of battery, as far as the sentences tell."""
        apart = self.one.classes and self.other.classes and self.one.classes.isdisjoint(self.other.classes)
        return not apart and scopes_meet(self.one.scope, self.other.scope)

    @property
    def same_case(self) -> bool:
        """Under the same circumstances, as far as the sentences tell."""
        mine, theirs = self.one.circumstances, self.other.circumstances
        return all(mine[name] == theirs[name] for name in mine.keys() & theirs.keys()) and not _flips(
            self.one.given, self.other.given
        )

    @property
    def same_sign(self) -> bool:
        """Both say yes, or both say no."""
        return (self.one.modal in _NOT) == (self.other.modal in _NOT)

    @property
    def figures_agree(self) -> bool:
        """No figure of one is at odds with all of the other's; where only one has any, it tells nothing."""
        mine, theirs = self.one.figures, self.other.figures
        return not mine or not theirs or all(any(comparable(a, b) and agree(a, b) for b in theirs) for a in mine)


def _flips(mine: Mapping[str, int], theirs: Mapping[str, int]) -> list[str]:
    return [pair for pair, side in mine.items() if theirs.get(pair, side) != side]


def _alike(mine: frozenset[str], theirs: frozenset[str], least: float, weights: Mapping[str, int]) -> bool:
    return _share(mine, theirs, weights) >= (least if mine <= theirs or theirs <= mine else NEARLY)


def _share(mine: frozenset[str], theirs: frozenset[str], weights: Mapping[str, int]) -> float:
    both, every = (sum(weights.get(word, 1) for word in words) for words in (mine & theirs, mine | theirs))
    return both / every if both else 0.0


def disagreements(
    answer: Answer, others: Iterable[Answer], reader: Reader, vehicles: Sequence[Vehicle]
) -> tuple[Disagreement, ...]:
    """Where an answer's sentences disagree with those of other answers for vehicles that may be the same."""
    mine = tuple(reader.of_answer(answer))
    return tuple(found for other in others for found in _with(answer, mine, other, reader, vehicles))


def _with(
    answer: Answer, mine: Sequence[Statement], other: Answer, reader: Reader, vehicles: Sequence[Vehicle]
) -> Iterator[Disagreement]:
    if other.id == answer.id or not may_meet(answer.applies_to, other.applies_to):
        return
    both = tuple(vehicle.id for vehicle in shared(answer.applies_to, other.applies_to, vehicles))
    told: set[tuple[str, str]] = set()
    for theirs in reader.of_answer(other):
        for one in mine:
            if (one.text, theirs.text) not in told and (found := at_odds(one, theirs)):
                kind, says = found
                told.add((one.text, theirs.text))
                yield Disagreement(other.id, one.text, theirs.text, kind, says, both[:MOST_NAMED])


def at_odds(one: Statement, other: Statement) -> tuple[str, str] | None:
    """What two sentences disagree in, and how; None when both may be right."""
    if one.matter.isdisjoint(other.matter) and one.pairs.isdisjoint(other.pairs):
        return None
    pair = _Pair(one, other)
    if not (pair.same_class and pair.same_case):
        return None
    return next(((kind, says) for kind, rule in _RULES if (says := rule(pair))), None)


def _number(pair: _Pair) -> str:
    mine, theirs = pair.one.matter - pair.one.actions, pair.other.matter - pair.other.actions
    same = _share(mine, theirs, pair.weights) >= MEASURED if mine and theirs else pair.alike
    if pair.flips or not (same or pair.alike):
        return ""
    apart = list(_apart(pair.one.figures, pair.other.figures))
    return f"{apart[0][0]} against {apart[0][1]}" if len(apart) == 1 else ""


def _apart(mine: Sequence[Figure], theirs: Sequence[Figure]) -> Iterator[tuple[Figure, Figure]]:
    """For each kind of figure that both tell: a pair of them, when none agree."""
    for one in mine:
        if any(comparable(one, earlier) for earlier in mine[: mine.index(one)]):
            continue
        like, other = ([f for f in figures if comparable(one, f)] for figures in (mine, theirs))
        if other and not any(agree(a, b) for a in like for b in other):
            yield one, min(other, key=lambda figure: abs(figure.low - one.low))


def _direction(pair: _Pair) -> str:
    """Exactly one pair of opposites differs: "clockwise raises" and "anticlockwise lowers" say the same."""
    flips = pair.flips
    odd = len(flips) == 1 and pair.same_sign and pair.figures_agree and pair.alike
    return f"they tell opposite sides of '{flips[0]}'" if odd else ""


def _permission(pair: _Pair) -> str:
    one, other = pair.one, pair.other
    apart = not pair.same_sign and not pair.flips and pair.figures_agree and one.classes == other.classes
    same_main = one.main == other.main or _alike(one.main, other.main, ALIKE, {})
    enough = len(one.matter & other.matter) + len(one.pairs & other.pairs) >= ENOUGH
    no, yes = (one, other) if one.modal in _NOT else (other, one)
    if not no.matter <= yes.matter:  # what is forbidden is a narrower thing
        return ""
    same = enough and same_main and _alike(one.matter, other.matter, SAID, {})
    return "one says yes where the other says no" if apart and same else ""


def _part(pair: _Pair) -> str:
    one, other = pair.one, pair.other
    mine, theirs = one.parts.keys() - other.parts.keys(), other.parts.keys() - one.parts.keys()
    claims = one.claims and other.claims and not one.hedged and not other.hedged
    if not (len(mine) == len(theirs) == 1 and claims) or pair.flips or not pair.same_sign:
        return ""
    named = (one.parts[min(mine)], other.parts[min(theirs)])
    rest = [
        (s.matter | s.pairs) - name.keys - {name.before} - s.actions
        for s, name in zip((one, other), named, strict=True)
    ]
    same = _alike(rest[0], rest[1], NEARLY, {})
    told_of_it = bool(one.figures) or bool(other.figures) or one.classes != other.classes
    return f"{min(mine)} against {min(theirs)}" if same and not told_of_it else ""


_RULES = (("number", _number), ("direction", _direction), ("permission", _permission), ("part", _part))

"""How many rounds of asking it takes to the right answer: the program's questions against the answer's list of needs.

    python -m eval.dialogue [--shop demo|second|third|fourth|fifth|all] [--split tuning|locked|all]

Behind each labelled question stands a vehicle of the catalogue that agrees with the label and with the right answer. A
simulated asker tells of it what is asked for; what neither the label nor the catalogue knows, the asker cannot tell.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from eval.labels import Labelled, load_labels
from eval.remembering import remembering
from eval.resample import mean_with
from eval.shops import NAMES, opened, shops
from eval.split import part_of
from eval.tables import table
from eval.values import same_value
from triage.facts.catalogue import vehicle_value
from triage.matching.fit import scope_values, value_allowed
from triage.model import Fact, FactValue, Question, Reading
from triage.pack import Pack, applies
from triage.pack.schema import Vehicle
from triage.pipeline import Stages, read

MOST_ROUNDS = 4  # letters to and fro; a dialogue that is not right by then counts as so long
MOST_AT_ONCE = 3

Policy = Callable[[Reading, Pack], list[str]]  # facts it would ask for next


def by_worth(reading: Reading, pack: Pack) -> list[str]:
    """The program's own gaps."""
    return [gap.fact for gap in reading.gaps]


def by_list(reading: Reading, pack: Pack) -> list[str]:
    """All that the best answer needs and was not told, in the order of its list."""
    if not reading.matches:
        return []
    held = {fact.name for fact in reading.facts if fact.standing.holds and fact.vehicle == 1}
    needs = pack.answer(reading.matches[0].answer).needs
    return [name for name in needs if name not in held and name in pack.facts and pack.facts[name].ask]


POLICIES: Mapping[str, Policy] = {"the program": by_worth, "needs in list order": by_list}


@dataclass(frozen=True, slots=True)
class Asker:
    """Who answers: the label, and the vehicle behind the question (None when the catalogue has none that fits)."""

    label: Labelled
    vehicle: Vehicle | None
    scope: Mapping[str, tuple[FactValue, ...]]  # what the right answer is for
    seen: Mapping[str, Mapping[str, str]] = field(default_factory=dict)  # fact -> symptom that tells it -> value

    def tell(self, name: str) -> FactValue | None:
        """What the asker says of a fact; None when that is not known."""
        told = next((f.value for f in self.label.facts if f.name == name and f.standing.holds), None)
        if told is not None:
            return told
        if seen := self.seen.get(name):
            return next((seen[symptom] for symptom in self.label.symptoms if symptom in seen), None)
        if name == "year":
            return self._year()
        listed = vehicle_value(self.vehicle, name) if self.vehicle else None
        allowed = self.scope.get(name, ())
        return listed if listed is not None else allowed[0] if len(allowed) == 1 else None

    def _year(self) -> FactValue | None:
        """A year in which the vehicle was made and for which the answer is right; the middle one."""
        first, last = (int(str(year)) for year in self.scope.get("year", (0, 9999)))
        if self.vehicle:
            first, last = max(first, self.vehicle.year_from or 0), min(last, self.vehicle.year_to or 9999)
        if first == 0 or first > last:
            return None
        return (first + min(last, first + 8)) // 2


def asker_for(label: Labelled, pack: Pack) -> Asker:
    """The vehicle is drawn from those that agree, always the same for a question."""
    answer = pack.answer(str(label.answer))
    agreeing = [v for v in pack.vehicles if applies(answer.applies_to, v) and _agrees(v, label)]
    vehicle = random.Random(label.id).choice(agreeing) if agreeing else None
    return Asker(label, vehicle, scope_values(answer), _seen(pack))


def _seen(pack: Pack) -> dict[str, dict[str, str]]:
    """What a symptom tells of a fact, by the pack's own evidence: whoever says it clicks has heard a click."""
    seen: dict[str, dict[str, str]] = {}
    for finding in pack.evidence.values():
        if finding.fact and len(finding.values) == 1:
            seen.setdefault(finding.fact, {}).update(dict.fromkeys(finding.unless, finding.values[0]))
    return seen


def _agrees(vehicle: Vehicle, label: Labelled) -> bool:
    return all(_allows(vehicle, fact.name, fact.value) for fact in label.facts if fact.standing.holds)


def _allows(vehicle: Vehicle, name: str, value: str | int | float) -> bool:
    if name == "year":
        low, _, high = str(value).partition("-")
        return int(low) <= (vehicle.year_to or 9999) and int(high or low) >= (vehicle.year_from or 0)
    listed = vehicle_value(vehicle, name)
    if name == "model":
        return f"{vehicle.model} ".casefold().startswith(f"{value} ".casefold())
    fixed = name in ("make", "powertrain", "pack_voltage", "battery_chemistry", "battery_count", "battery_voltage")
    return not fixed or listed is None or same_value(name, value, listed)


def right_answers(asker: Asker, pack: Pack) -> frozenset[str]:
    """The accepted answers that are for the asker's vehicle."""
    if asker.vehicle is None:
        return asker.label.accepted
    year = asker.tell("year")
    return frozenset(id for id in asker.label.accepted if _is_for(pack, id, asker.vehicle, year))


def _is_for(pack: Pack, id: str, vehicle: Vehicle, year: FactValue | None) -> bool:
    answer = pack.answer(id)
    limits = scope_values(answer).get("year")
    return applies(answer.applies_to, vehicle) and (
        limits is None or year is None or value_allowed("year", year, limits)
    )


@dataclass(frozen=True, slots=True)
class Dialogue:
    """How one dialogue went: was the best answer right after each round (first: before any), questions by round."""

    right: tuple[bool, ...]
    asked: tuple[int, ...]

    @property
    def rounds(self) -> int:
        """Rounds until the best answer was right and stayed so."""
        return self._settled if self._settled is not None else MOST_ROUNDS

    @property
    def questions(self) -> int:
        """Questions asked in all."""
        return sum(self.asked)

    @property
    def ends_right(self) -> bool:
        """The best answer is right when nothing more is asked."""
        return self.right[-1]

    @property
    def _settled(self) -> int | None:
        wrong = [number for number, right in enumerate(self.right) if not right]
        first = wrong[-1] + 1 if wrong else 0
        return first if first < len(self.right) else None


def hold(label: Labelled, first: Reading, asker: Asker, policy: Policy, stages: Stages) -> Dialogue:
    """Ask, hear, read again, until nothing is left to ask."""
    accepted, reading = right_answers(asker, stages.pack), first
    right, asked, heard, put = [_is_right(first, accepted)], list[int](), list[Fact](), set[str]()
    while len(asked) < MOST_ROUNDS:
        names = [name for name in policy(reading, stages.pack) if name not in put][:MOST_AT_ONCE]
        if not names:
            break
        put.update(names)
        heard += [_fact(name, value) for name in names if (value := asker.tell(name)) is not None]
        untold = frozenset(put - {fact.name for fact in heard})
        reading = read(Question(label.id, label.text, label.subject), stages, heard, not_again=untold)
        right.append(_is_right(reading, accepted))
        asked.append(len(names))
    return Dialogue(tuple(right), tuple(asked))


def _is_right(reading: Reading, accepted: frozenset[str]) -> bool:
    return bool(reading.matches) and reading.matches[0].answer in accepted


def _fact(name: str, value: FactValue) -> Fact:
    return Fact(name, value, "V" if name in ("pack_voltage", "battery_voltage") else "", basis="told when asked")


@dataclass(frozen=True, slots=True)
class Pair:
    """A question with its dialogues, one for each way of asking."""

    shop: str
    label: Labelled
    dialogues: Mapping[str, Dialogue]


def pairs(choice: str, split: str) -> Iterator[Pair]:
    """Every labelled question that has a right answer."""
    for shop in shops(choice):
        with opened(shop) as fresh:
            stages = remembering(fresh)
            for label in load_labels(shop.questions):
                if label.answer is not None and split in (part_of(label.id, shop.name), "all"):
                    yield _pair(shop.name, label, stages)


def _pair(shop: str, label: Labelled, stages: Stages) -> Pair:
    first, asker = read(Question(label.id, label.text, label.subject), stages), asker_for(label, stages.pack)
    return Pair(shop, label, {name: hold(label, first, asker, policy, stages) for name, policy in POLICIES.items()})


def report(found: Sequence[Pair]) -> str:
    """Tables over all questions, each shop's, and those where a fact decides or the first reading is wrong."""
    hard = [pair for pair in found if pair.label.deciding or not pair.dialogues["the program"].right[0]]
    by_shop = [(f"those of the shop '{shop}'", [p for p in found if p.shop == shop]) for shop in _shops(found)]
    hard_by_shop = [(f"of these, shop '{shop}'", [p for p in hard if p.shop == shop]) for shop in _shops(hard)]
    whole = ("all questions with an answer", found)
    titles = (whole, *by_shop, ("where a fact decides, or the first reading is wrong", hard), *hard_by_shop)
    return "\n\n".join(f"{title}: {len(group)}\n\n{_table(group)}" for title, group in titles if group)


def _shops(found: Sequence[Pair]) -> list[str]:
    return list(dict.fromkeys(pair.shop for pair in found))


def _table(group: Sequence[Pair]) -> str:
    rows = []
    for name in POLICIES:
        talks = [pair.dialogues[name] for pair in group]
        measures = [mean_with([float(value(talk)) for talk in talks]) for value in _MEASURES.values()]
        rows.append([name, *measures])
    ours, theirs = ([pair.dialogues[name] for pair in group] for name in POLICIES)
    saved = [
        mean_with([value(b) - value(a) for a, b in zip(ours, theirs, strict=True)]) for value in _MEASURES.values()
    ]
    return table(["asked by", *_MEASURES], [*rows, ["difference, question by question", *saved]])


_MEASURES: Mapping[str, Callable[[Dialogue], float]] = {
    f"rounds to the right answer (never: {MOST_ROUNDS})": lambda talk: talk.rounds,
    "rounds in all": lambda talk: len(talk.asked),
    "questions in all": lambda talk: talk.questions,
    "right at the end": lambda talk: float(talk.ends_right),
}


def main(arguments: Sequence[str] | None = None) -> int:
    """The command; returns its exit code."""
    parser = argparse.ArgumentParser(prog="python -m eval.dialogue", description="Rounds to the right answer.")
    parser.add_argument("--shop", choices=(*NAMES, "all"), default="all")
    parser.add_argument("--split", choices=("tuning", "locked", "all"), default="all")
    options = parser.parse_args(arguments)
    print(report(list(pairs(options.shop, options.split))))
    return 0


if __name__ == "__main__":
    sys.exit(main())

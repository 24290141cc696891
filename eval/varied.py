"""How well facts survive another way of saying the same: the tuning questions, varied kind by kind.

    python -m eval.varied [--seed N] [--list KIND]

For each kind of variation: F1 of the closed facts and share of right standings on the questions it changes, as they
were and varied. With --list, what was right before and no longer is.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from random import Random

from eval.cases import Case
from eval.catalogue import fuller_models, is_called
from eval.labels import Labelled, load_labels
from eval.metrics_facts import pair_facts, shown, standing_share, total
from eval.shops import ShopLabels, packed, shops
from eval.split import part_of
from eval.values import plain
from eval.variations import CHANGES, Given
from triage.facts import FactReader
from triage.model import Fact, Reading
from triage.pack import Pack

UNLISTED = ("invented names", "another shop's pack")


@dataclass(frozen=True, slots=True)
class Shop:
    """A shop's reader with its tuning questions."""

    name: str
    pack: Pack
    reader: FactReader
    labels: tuple[Labelled, ...]


@dataclass
class Row:
    """The questions a variation changes, as they were and as they became."""

    before: list[Case] = field(default_factory=list)
    after: list[Case] = field(default_factory=list)


def main(arguments: Sequence[str] | None = None) -> int:
    """The command; returns its exit code."""
    parser = argparse.ArgumentParser(prog="python -m eval.varied", description="Facts under other ways of saying.")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--list", choices=CHANGES, help="a kind whose losses are listed")
    options = parser.parse_args(arguments)
    rows = measure(_shops(), options.seed)
    print("\n".join(table(rows)))
    if options.list:
        print("\n".join(losses(rows[options.list])))
    return 0


def _shops() -> list[Shop]:
    return [_shop(shop) for shop in shops("all")]


def _shop(shop: ShopLabels) -> Shop:
    with packed(shop) as pack:
        labels = [one for one in load_labels(shop.questions) if part_of(one.id, shop.name) == "tuning"]
        return Shop(shop.name, pack, FactReader(pack), tuple(labels))


def measure(all_shops: Sequence[Shop], seed: int) -> dict[str, Row]:
    """Each kind of variation over all shops."""
    rows = {kind: Row() for kind in CHANGES}
    for place, shop in enumerate(all_shops):
        other = all_shops[(place + 1) % len(all_shops)]
        for label in shop.labels:
            document = shop.reader.language.annotate(label.text)
            for kind, change in CHANGES.items():
                varied = change(
                    Given(label, document, shop.pack, Random(f"{seed} {kind} {shop.name} {label.id}"), seed)
                )
                if varied.text != label.text or (kind in UNLISTED and varied != label):
                    rows[kind].before.append(_case(shop, shop.reader, label))
                    reader = other.reader if kind in UNLISTED else shop.reader
                    rows[kind].after.append(_case(shop, reader, varied, unlisted=kind in UNLISTED))
    return rows


def _case(shop: Shop, reader: FactReader, label: Labelled, *, unlisted: bool = False) -> Case:
    facts = reader.read(reader.language.annotate(label.text))
    if unlisted:
        label = _either(label, facts)
    models = fuller_models(label, shop.pack)
    if unlisted:  # "NAME 2" is right as well where the first word of the name is labelled
        named = [str(fact.value) for fact in label.facts if fact.name == "model"]
        models |= {str(f.value) for f in facts if f.name == "model" and any(is_called(str(f.value), n) for n in named)}
    return Case(shop.name, label, Reading(label.id, facts=facts), models=models)


def _either(label: Labelled, facts: Sequence[Fact]) -> Labelled:
    """A lone name that no catalogue lists may be a make as well as a model."""
    if any(fact.name == "make" for fact in label.facts):
        return label
    makes = {plain(fact.value) for fact in facts if fact.name == "make"}
    told = [replace(f, name="make") if f.name == "model" and plain(f.value) in makes else f for f in label.facts]
    return replace(label, facts=told)


def table(rows: dict[str, Row]) -> Iterator[str]:
    """One line for each kind."""
    yield f"{'variation':22}{'questions':>10}{'F1 as was':>11}{'varied':>8}{'standing as was':>17}{'varied':>8}"
    for kind, row in rows.items():
        yield f"{kind:22}{len(row.after):>10}{_f1(row.before):>11.3f}{_f1(row.after):>8.3f}" + (
            f"{_standing(row.before):>17.3f}{_standing(row.after):>8.3f}"
        )


def _f1(cases: Sequence[Case]) -> float:
    return total(cases).f1 or 0.0


def _standing(cases: Sequence[Case]) -> float:
    return standing_share(cases).value or 0.0


def losses(row: Row) -> Iterator[str]:
    """What was right and no longer is, question by question."""
    for before, after in zip(row.before, row.after, strict=True):
        was, now = _wrong(before), _wrong(after)
        new = [line for line in now if line not in was]
        if new:
            yield f"\n{before.shop} {before.gold.id}: {after.gold.text}"
            yield from (f"    {line}" for line in new)


def _wrong(case: Case) -> list[str]:
    paired = pair_facts(case)
    missed = [f"missed {shown(fact)}" for fact in paired.missed]
    return missed + [f"made up {shown(fact)}" for fact in paired.false]


if __name__ == "__main__":
    raise SystemExit(main())

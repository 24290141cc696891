"""Run the program over the labelled questions and write down how often it is right.

    python -m eval.run [--shop demo|second|third|fourth|fifth|all] [--split tuning|locked|all] [--out DIR]

Writes report.md and mistakes.jsonl. Two runs over the same questions write the same bytes.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path

from eval.cases import Case
from eval.labels import LabelError, check_labels, load_labels
from eval.mistakes import visible, write_mistakes
from eval.reading import read_all
from eval.report import report
from eval.shops import HERE, NAMES, ShopLabels, opened, shops
from eval.split import part_of
from triage.pack import PackError


def evaluate(choice: Iterable[ShopLabels], split: str = "all") -> list[Case]:
    """Read the questions of these shops that belong to a part ("tuning", "locked" or "all"), in file order.

    Raises LabelError or PackError with every problem of a shop's files.
    """
    return [case for shop in choice for case in _shop_cases(shop, split)]


def _shop_cases(shop: ShopLabels, split: str) -> list[Case]:
    labels = load_labels(shop.questions)
    with opened(shop) as stages:
        check_labels(labels, stages.pack, symptom_ids=not shop.plain_symptoms)
        return read_all(shop, [label for label in labels if split in (part_of(label.id, shop.name), "all")], stages)


def main(arguments: Sequence[str] | None = None) -> int:
    """The command; returns its exit code."""
    options = _options(arguments)
    try:
        cases = evaluate(shops(options.shop, options.labels), options.split)
    except (LabelError, PackError) as error:
        print(error, file=sys.stderr)
        return 1
    options.out.mkdir(parents=True, exist_ok=True)
    (options.out / "report.md").write_text(report(cases, show_locked=options.show_locked), encoding="utf-8")
    shown = visible(cases, show_locked=options.show_locked)
    count = write_mistakes(shown, options.out / "mistakes.jsonl")
    print(f"{len(cases)} questions read; {count} mistakes in the {len(shown)} that may be looked at: {options.out}")
    return 0


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m eval.run", description="Measure how often the program is right.")
    parser.add_argument("--shop", choices=(*NAMES, "all"), default="all")
    parser.add_argument("--split", choices=("tuning", "locked", "all"), default="all", help="which questions to read")
    parser.add_argument("--out", type=Path, default=Path("eval-report"), help="folder for report.md and mistakes.jsonl")
    parser.add_argument("--labels", type=Path, default=HERE, help="folder with demo_shop/ and the other shops")
    parser.add_argument("--show-locked", action="store_true", help="list mistakes of the locked questions as well")
    return parser.parse_args(arguments)


if __name__ == "__main__":
    sys.exit(main())

"""The shops questions are asked to: where their labels lie, and how their pack is opened."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory

from triage.engine import assemble, cache_folder, open_engine
from triage.matching.rank import Ranker
from triage.pack import Pack, load
from triage.pack.importing import import_tables
from triage.pipeline import Stages

HERE = Path(__file__).parent
KNOWLEDGE = HERE.parent / "knowledge"
NAMES = ("demo", "second", "third", "fourth", "fifth")


@dataclass(frozen=True, slots=True)
class ShopLabels:
    """A shop of the evaluation."""

    name: str
    folder: Path
    imported: bool  # its pack is made from vehicles.csv and answers.csv beside the labels
    plain_symptoms: bool  # symptoms are labelled in plain words, not by id

    @property
    def questions(self) -> Path:
        """The file of labelled questions."""
        return self.folder / "questions.jsonl"


def shops(choice: str, labels: Path = HERE) -> tuple[ShopLabels, ...]:
    """The shops of a choice, one of NAMES or "all"; of all, those whose questions are in the folder."""
    known = [ShopLabels(name, labels / f"{name}_shop", name != "demo", name == "second") for name in NAMES]
    return tuple(shop for shop in known if choice == shop.name or (choice == "all" and shop.questions.is_file()))


@contextmanager
def packed(shop: ShopLabels) -> Iterator[Pack]:
    """The shop's pack; an imported one lies on disk as long as the context is."""
    if not shop.imported:
        yield load(KNOWLEDGE)
        return
    with TemporaryDirectory() as scratch:
        root = Path(scratch) / "pack"
        import_tables(shop.folder / "vehicles.csv", shop.folder / "answers.csv", root)
        yield load(root)


@contextmanager
def opened(shop: ShopLabels, ranker: Ranker | None = None) -> Iterator[Stages]:
    """The program opened with the shop's pack; an imported pack is there as long as the context is."""
    if not shop.imported:
        yield open_engine(KNOWLEDGE, ranker=ranker)
        return
    with TemporaryDirectory() as scratch:
        pack = Path(scratch) / "pack"
        import_tables(shop.folder / "vehicles.csv", shop.folder / "answers.csv", pack)
        yield open_engine(pack, ranker=ranker)


def bare(stages: Stages) -> Stages:
    """The same shop with its answers as a spreadsheet brings them: no variants, symptoms, intents, causes or checks."""
    kept = tuple(replace(a, variants=[], symptoms=[], intents=[], causes=[], checks=[]) for a in stages.pack.answers)
    pack = replace(stages.pack, answers=kept, digest=f"bare {stages.pack.digest}")
    return assemble(pack, stages.encoder, cache_folder(), ranker=stages.ranker)

"""What a whole run is made of: parts that are made apart, each with all it depends on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import cast

from eval.ablation import GROUPS, Outcome, blanked, outcomes
from eval.counts import Counts
from eval.everything.gathered import Gathered, gather
from eval.everything.kept import Kept, code_of, data_beside, digest_of
from eval.everything.variation import MODULE as VARIED
from eval.everything.variation import Varied, varied
from eval.repairs import compare, draw
from eval.shops import HERE, KNOWLEDGE, shops
from triage.matching.features import FEATURES
from triage.pack import load

ROOT = HERE.parent
PROGRAM = ROOT / "triage"
FAULTS = 500
REFITS = ("without-0", "without-1")  # every second refit each, so that two processes share the work
EVERY_FEATURE = (*FEATURES, "elsewhere", "nearest")
Prices = Mapping[str, list[float]]
Ablated = Mapping[str, list[Outcome]]


@dataclass(frozen=True, slots=True)
class Part:
    """A named piece of the run; `digest` is of the code, knowledge and labels it is made of, as a run found them."""

    name: str
    digest: str
    needs_shops: bool = False  # made of the shops' parts


@dataclass(frozen=True)
class Run:
    """The parts of one run, with the folder they are kept in; travels to other processes."""

    kept: Kept
    parts: tuple[Part, ...]
    labels: Path

    @classmethod
    def begun(cls, kept: Kept, labels: Path = HERE) -> Run:
        """A run over the files as they are now; what changes while it runs counts for the next."""
        known = [(f"shop-{s.name}", "eval.everything.gathered", (s.folder,)) for s in shops("all", labels)]
        folders = tuple(folder for _, _, data in known for folder in data)
        found = [Part(name, _digest(code, data)) for name, code, data in known]
        found.append(Part("repairs", _digest("eval.repairs", ())))
        found.append(Part("stories", _digest("eval.dangers.score", (HERE / "dangers",))))
        found.append(Part("varied", _digest(VARIED, (), "eval.everything.variation")))
        refitted = _digest("eval.ablation", folders)
        return cls(kept, (*found, *(Part(name, refitted, needs_shops=True) for name in REFITS)), labels)

    def has(self, part: Part) -> bool:
        """True when the part is kept."""
        return self.kept.has(part.name, part.digest)

    def result(self, name: str) -> object:
        """The result of a part, made when it is not kept."""
        part = next(part for part in self.parts if part.name == name)
        return self.kept.get(part.name, part.digest, lambda: self._make(name))

    def _make(self, name: str) -> object:
        if name.startswith("shop-"):
            return gather(shops(name.removeprefix("shop-"), self.labels)[0])
        makers: Mapping[str, Callable[[], object]] = {"repairs": _repairs, "stories": _stories, "varied": varied}
        return makers[name]() if name in makers else self._refitted(REFITS.index(name))

    def _refitted(self, half: int) -> Ablated:
        choices = [choice for shop in self.gathered() for choice in shop.choices]
        chosen = list(variants().items())[half :: len(REFITS)]
        return {name: outcomes(blanked(choices, names)) for name, names in chosen}

    def gathered(self) -> list[Gathered]:
        """Every shop's questions."""
        names = [part.name for part in self.parts if part.name.startswith("shop-")]
        return [cast(Gathered, self.result(name)) for name in names]

    def prices(self) -> Prices:
        """Minutes until each drawn fault is found, by order of the checks."""
        return cast(Prices, self.result("repairs"))

    def stories(self) -> Stories:
        """Figures of the stories kept for testing."""
        return cast(Stories, self.result("stories"))

    def varied(self) -> Mapping[str, Varied]:
        """Facts when the same is told otherwise."""
        return cast(Mapping[str, Varied], self.result("varied"))

    def ablated(self) -> Ablated:
        """The outcomes of all refits, in the order of `variants`."""
        found = {key: value for name in REFITS for key, value in cast(Ablated, self.result(name)).items()}
        return {name: found[name] for name in variants()}


@dataclass(frozen=True, slots=True)
class Stories:
    """Dangers told in passing, in stories kept for testing."""

    noted: Counts
    dangerous: int
    pressed: int
    calm: int
    calm_pressed: int


def variants() -> dict[str, tuple[str, ...]]:
    """The features of each refit: all, all but a group, a group alone."""
    without = {f"without {name}": tuple(n for n in EVERY_FEATURE if n not in group) for name, group in GROUPS.items()}
    alone = {f"{name} alone": group for name, group in GROUPS.items()}
    return {"all": EVERY_FEATURE, **without, **alone}


def _digest(module: str, data: tuple[Path, ...], *more: str) -> str:
    code = frozenset(file for name in (module, *more) for file in code_of(name, ROOT))
    stages = [file for file in code if file.parent.parent == PROGRAM]
    return digest_of((*code, *data_beside(stages), KNOWLEDGE, *data), ROOT)


def _repairs() -> Prices:
    return compare(list(draw(load(KNOWLEDGE), FAULTS, 0)))


def _stories() -> Stories:
    """Of the stories kept for testing only sums are kept; which went wrong is not looked at."""
    from eval.dangers.read import stages_and_vectors, understood
    from eval.dangers.score import score
    from eval.dangers.stories import stories

    told = stories("test")
    stages, _ = stages_and_vectors()
    found = score(told, [read.dangers for read in understood(told, stages)])
    return Stories(found.noted, found.dangerous, found.pressed, found.calm, found.calm_pressed)

"""What every way is given: a shop's pack, its answers as plain texts, its questions, and the labels to judge by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory

from eval.benchmark.material_files import Entry, write
from eval.labels import Labelled, load_labels
from eval.shops import HERE
from triage.engine import open_engine
from triage.matching.encode import Encodes, Vectors
from triage.model import Question
from triage.pack.importing import import_tables
from triage.pack.schema import Answer
from triage.pipeline import Stages, read

SHOP = "fifth"  # nobody tuned on it


@dataclass(frozen=True, slots=True)
class Material:
    """A folder with pack/, answers.json, questions.json and encoded.json, and the labels to judge by."""

    folder: Path
    labels: tuple[Labelled, ...]
    stages: dict[str, float]  # stage of a reading -> median milliseconds


@contextmanager
def material(shop: str = SHOP) -> Iterator[Material]:
    """A shop's pack and questions, there as long as the context is; the program's caches are filled."""
    source = HERE / f"{shop}_shop"
    with TemporaryDirectory(prefix="benchmark-") as scratch:
        folder = Path(scratch)
        import_tables(source / "vehicles.csv", source / "answers.csv", folder / "pack")
        stages = open_engine(folder / "pack", cache=folder / "cache")
        labels = load_labels(source / "questions.jsonl")
        questions = [f"{label.subject} {label.text}".strip() for label in labels]
        write(folder / "answers.json", [asdict(entry_of(answer)) for answer in stages.pack.answers])
        write(folder / "questions.json", questions)
        noted, timing = _noted(questions, stages)
        write(folder / "encoded.json", noted)
        yield Material(folder, labels, timing)


def entry_of(answer: Answer) -> Entry:
    """An answer as plain text."""
    text = " ".join([answer.title, answer.question, *answer.variants, answer.text])
    return Entry(answer.id, f"{answer.title}. {answer.question}", text)


class Noting:
    """An encoder that notes down what it is given."""

    def __init__(self, encoder: Encodes) -> None:
        self.tag, self.dimension = encoder.tag, encoder.dimension
        self._encoder = encoder
        self.texts: list[str] = []

    def encode(self, texts: Sequence[str]) -> Vectors:
        """As the encoder itself."""
        self.texts += texts
        return self._encoder.encode(texts)


def _noted(questions: Sequence[str], stages: Stages) -> tuple[dict[str, list[str]], dict[str, float]]:
    """What a reading of each question encodes, and the median time of each stage."""
    noting = Noting(stages.encoder)
    stages, noted, timings = replace(stages, encoder=noting), {}, []
    for question in questions:
        noting.texts = []
        timings.append(read(Question("q", question), stages).timing_ms)
        noted[question] = noting.texts
    names = dict.fromkeys(name for timing in timings for name in timing)
    return noted, {name: _median([timing.get(name, 0.0) for timing in timings]) for name in names}


def _median(values: Sequence[float]) -> float:
    ordered = sorted(values)
    return round(ordered[len(ordered) // 2], 3)

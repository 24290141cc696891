"""Put the stages together for a pack, with vectors and readings of the answers kept on disk between runs."""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from zipfile import BadZipFile

import numpy as np
from platformdirs import user_cache_path

from triage import __version__, shipped
from triage.facts import FactReader
from triage.facts.intent_meaning import Heard, IntentReader
from triage.facts.symptom_lessons import Lesson, lessons
from triage.facts.symptom_pieces import Piece, pieces
from triage.facts.symptom_reader import SymptomReader
from triage.facts.symptom_weights import learned
from triage.kept import KeptIndexes
from triage.language import Document
from triage.learnt_ranker import load_learnt
from triage.matching.encode import Encodes, Vectors, encoder_for
from triage.matching.index import Told, build_index, passages
from triage.matching.masking import mask, masked_spans
from triage.matching.rank import Ranker
from triage.matching.scope import ScopeReader
from triage.model import Question, Standing
from triage.pack import Pack, load
from triage.pack.schema import Answer
from triage.pipeline import Stages, condition_facts, heard
from triage.reply.sentences import blocks
from triage.reply.wording import Phrasebook
from triage.safety import Dangers, HazardReader
from triage.safety.keep import learnt_of
from triage.vectors import question_vectors

Progress = Callable[[str], None]
TEXT_WEIGHT = 0.5  # of a symptom an answer's text speaks of, beside one its question tells
OTHER = "other"  # the intent of a message that is no question of the trade


def open_engine(
    root: Path,
    *,
    encoder: str = "",
    cache: Path | None = None,
    progress: Progress = lambda _: None,
    ranker: Ranker | None = None,
) -> Stages:
    """Load a pack and make it ready to read questions. Raises PackError with every problem of the pack.

    The first run with a pack embeds its answers (seconds); later runs take the vectors from `cache`.
    """
    pack = load(root)
    return assemble(pack, encoder_for(encoder), cache or cache_folder(), progress, ranker)


def cache_folder() -> Path:
    """TRIAGE_CACHE, else the user's cache folder."""
    named = os.environ.get("TRIAGE_CACHE")
    return Path(named) if named else user_cache_path("cart-triage")


def assemble(
    pack: Pack,
    encoder: Encodes,
    cache: Path,
    progress: Progress = lambda _: None,
    ranker: Ranker | None = None,
) -> Stages:
    """The stages for a pack already loaded; unless a ranker is given with what the shop taught it, else as shipped."""
    shipped.check()
    facts = FactReader(pack)
    vectors = VectorCache(encoder, cache, progress)
    learnt = learnt_of(pack, vectors.encode, encoder.tag, cache, write_quietly)
    hazards = HazardReader(pack.hazards, learnt)
    symptoms = _symptoms(pack, facts, vectors, cache)
    intents = _intents(pack, facts, vectors)
    told = _told(pack, Reads(facts, symptoms, hazards, intents, vectors), cache)
    kept = KeptIndexes(cache, _short(pack.digest + encoder.tag))
    index = build_index(pack.answers, pack.vehicles, vectors, told, kept)
    scope = _scope(pack, vectors)
    vectors.save()
    book, ranker = Phrasebook(pack), ranker or _ranker(pack, encoder.tag, progress)
    return Stages(pack, encoder, facts, symptoms, hazards, index, ranker, scope, intents, book)


def with_answers(stages: Stages, answers: Sequence[Answer]) -> Stages:
    """The same stages over a changed answer base: only what is new or changed is read and encoded."""
    known = {answer.id: (answer, told) for answer, told in zip(stages.index.answers, stages.index.told, strict=True)}
    vectors = _Remembering(stages)
    reads = Reads(stages.facts, stages.symptoms, stages.hazards, stages.intents, vectors)
    pairs = [known.get(answer.id, (None, None)) for answer in answers]
    told = [t if t and old == a else _read_told(a, reads) for a, (old, t) in zip(answers, pairs, strict=True)]
    index = build_index(answers, stages.pack.vehicles, vectors, told)
    digest = _short(stages.pack.digest + repr(answers), 64)
    return replace(stages, pack=replace(stages.pack, answers=tuple(answers), digest=digest), index=index)


class _Remembering:
    """The encoder of some stages, which has the vectors of their answers at hand."""

    def __init__(self, stages: Stages) -> None:
        self.tag, self.dimension = stages.encoder.tag, stages.encoder.dimension
        self._encoder, index = stages.encoder, stages.index
        texts = (t for a, told in zip(index.answers, index.told, strict=True) for t, _ in passages(a, told.wordings))
        self._known = dict(zip(texts, index.vectors, strict=True))

    def encode(self, texts: Sequence[str]) -> Vectors:
        missing = [text for text in dict.fromkeys(texts) if text not in self._known]
        if missing:
            self._known |= dict(zip(missing, self._encoder.encode(missing), strict=True))
        return np.stack([self._known[text] for text in texts]) if texts else np.zeros((0, self.dimension), np.float32)


def _ranker(pack: Pack, tag: str, progress: Progress) -> Ranker:
    learnt, why = load_learnt(pack.root, tag)
    if why:
        progress(why)
    return learnt or Ranker.load()


def _intents(pack: Pack, facts: FactReader, vectors: VectorCache) -> IntentReader:
    """The pack's told examples, each heard as a question would be."""
    names = tuple(pack.intents)
    return IntentReader.learn(
        {
            name: [hear(facts.language.annotate(text), facts, names, vectors) for text in wanted.examples]
            for name, wanted in pack.intents.items()
        }
    )


def hear(document: Document, reader: FactReader, intents: Sequence[str], encoder: Encodes) -> Heard:
    """A whole message as the intent reader sees it."""
    facts = reader.read(document)
    vectors = question_vectors(Question("", document.text), document, facts, (), encoder)
    return heard(document, facts, intents, vectors)


def _scope(pack: Pack, vectors: VectorCache) -> ScopeReader:
    """Other post against questions, whole messages against whole ones: what askers want, and the answers' questions.

    Single sentences that tell a symptom stand in only where no messages are told.
    """
    wanted = [text for name, intent in pack.intents.items() if name != OTHER for text in intent.examples]
    wanted = wanted or [text for symptom in pack.symptoms.values() for text in symptom.examples]
    asked = [text for answer in pack.answers for text in (answer.question, *answer.variants)]
    calm = [text for kind in pack.calm.values() for text in kind.sentences]
    return ScopeReader.learn(pack.scope.values(), [*wanted, *asked], calm, vectors.encode)


def _symptoms(pack: Pack, facts: FactReader, vectors: VectorCache, cache: Path) -> SymptomReader:
    taught, ids = symptom_lessons(pack), list(pack.symptoms)
    meaning = learned(ids, taught, facts.language, vectors.encode, tag=vectors.tag, folder=cache, write=write_quietly)
    return SymptomReader(pack.symptoms, meaning)


def symptom_lessons(pack: Pack) -> tuple[Lesson, ...]:
    """What a pack teaches of symptoms; other post, names of parts and harmless look-alikes of hazards tell none."""
    elsewhere = (text for aside in pack.scope.values() for text in aside.examples)
    parts = (name for part, names in pack.words.parts.items() for name in (part, *names))
    calm = (text for hazard in pack.hazards.values() for text in hazard.calm)
    return lessons(pack.symptoms.values(), pack.symptoms_told.values(), (*elsewhere, *parts, *calm))


class VectorCache:
    """An encoder that remembers texts it has encoded, in one file per encoder tag, so that vectors never mix."""

    def __init__(self, encoder: Encodes, folder: Path, progress: Progress = lambda _: None) -> None:
        self._encoder = encoder
        self._progress = progress
        self._file = folder / f"vectors-{_short(encoder.tag)}.npz"
        self._known = _load_vectors(self._file, encoder.dimension)
        self._used: dict[str, Vectors] = {}
        self._changed = False

    @property
    def tag(self) -> str:
        return self._encoder.tag

    @property
    def dimension(self) -> int:
        return self._encoder.dimension

    def encode(self, texts: Sequence[str]) -> Vectors:
        """Unit vectors, one row a text."""
        if not texts:
            return np.zeros((0, self.dimension), np.float32)
        keys = [_short(text, 32) for text in texts]
        missing = {key: text for key, text in zip(keys, texts, strict=True) if key not in self._known}
        if missing:
            if not self._changed:  # said once
                self._progress(f"Reading {len(missing)} texts of the pack for the first time")
            self._known |= dict(zip(missing, self._encoder.encode(list(missing.values())), strict=True))
            self._changed = True
        self._used |= {key: self._known[key] for key in keys}
        return np.stack([self._known[key] for key in keys])

    def save(self) -> None:
        """Write the cache when something was added; a cache that cannot be written costs time, not work."""
        if self._changed:
            write_quietly(self._file, lambda temporary: _save_vectors(temporary, self._known))


def _load_vectors(file: Path, dimension: int) -> dict[str, Vectors]:
    try:
        with file.open("rb") as source, np.load(source, allow_pickle=False) as data:  # numpy leaves a broken one open
            keys, rows = data["keys"], data["rows"]
    except (OSError, ValueError, KeyError, EOFError, BadZipFile):
        return {}
    if rows.ndim != 2 or rows.shape[1] != dimension or len(keys) != len(rows):
        return {}
    return dict(zip(keys.tolist(), rows, strict=True))


def _save_vectors(file: Path, vectors: Mapping[str, Vectors]) -> None:
    with file.open("wb") as out:
        np.savez(out, keys=np.array(list(vectors)), rows=np.stack(list(vectors.values())))


def write_quietly(file: Path, write: Callable[[Path], None]) -> None:
    """Write through a temporary file in the same folder; give up without a word when the disk refuses."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=file.parent)
        os.close(handle)
        temporary = Path(name)
        try:
            write(temporary)
            temporary.replace(file)
        finally:
            temporary.unlink(missing_ok=True)
    except OSError:
        return


@dataclass(frozen=True)
class Reads:
    """What an answer's own words are read with."""

    facts: FactReader
    symptoms: SymptomReader
    hazards: HazardReader
    intents: IntentReader
    encoder: Encodes


def _told(pack: Pack, reads: Reads, cache: Path) -> list[Told]:
    """What each answer tells of: its own symptoms and intents, else those its questions are read to have."""
    made_of = f"{pack.digest} {__version__} {reads.encoder.tag} {TEXT_WEIGHT}"
    file = cache / f"told-{_short(made_of)}.json"
    stored = _load_told(file)
    told = {answer.id: stored.get(answer.id) or _read_told(answer, reads) for answer in pack.answers}
    if told.keys() - stored.keys():
        write_quietly(file, lambda temporary: _save_told(temporary, told))
    return [told[answer.id] for answer in pack.answers]


def _save_told(file: Path, told: Mapping[str, Told]) -> None:
    data = {
        id: [
            *(sorted(names) for names in (item.symptoms, item.intents, item.branches, item.parts, item.dangers)),
            list(item.wordings),
            list(item.profile.items()),
            list(item.perils.items()),
            list(item.wants),
        ]
        for id, item in told.items()
    }
    file.write_text(json.dumps(data), encoding="utf-8")


def _load_told(file: Path) -> dict[str, Told]:
    try:
        data = json.loads(file.read_text(encoding="utf-8"))
        return {id: _stored_told(*record) for id, record in data.items()}
    except (OSError, ValueError, TypeError):
        return {}


def _stored_told(
    symptoms: list[str],
    intents: list[str],
    branches: list[str],
    parts: list[str],
    dangers: list[str],
    wordings: list[str],
    profile: list[tuple[int, float]],
    perils: list[tuple[int, float]],
    wants: list[float],
) -> Told:
    told = Told(frozenset(symptoms), frozenset(intents), frozenset(branches), tuple(wordings))
    told = replace(told, parts=frozenset(parts), dangers=frozenset(dangers), profile=dict(profile))
    return replace(told, perils=dict(perils), wants=tuple(wants))


def _read_told(answer: Answer, reads: Reads) -> Told:
    reader = reads.facts
    texts = (f"{answer.title}. {answer.question}", answer.question, *answer.variants)
    read = [reader.read(reader.language.annotate(text)) for text in texts]
    facts = [fact for facts in read for fact in facts if fact.standing is not Standing.DENIED]
    symptoms = answer.symptoms or {str(fact.value) for fact in facts if fact.name == "symptom"}
    intents = answer.intents or {str(fact.value) for fact in facts if fact.name == "intent"}
    conditions = (block.condition for block in blocks(answer.text) if block.condition)
    branches = {name for condition in conditions for name in condition_facts(condition, reader)}
    wordings = tuple(mask(text, masked_spans(found)) for text, found in zip(texts, read, strict=True))
    parts = {mention.entry.key for mention in reader.language.annotate(answer.text).of_kind("part")}
    dangers, asked = _read_question(texts[0], reads)
    plainest = np.maximum(asked, TEXT_WEIGHT * _profile(reader.language.annotate(answer.text), reads))
    message = hear(reader.language.annotate(texts[0]), reader, reads.intents.intents, reads.encoder)
    return Told(
        frozenset(symptoms),
        frozenset(intents),
        frozenset(branches),
        wordings,
        frozenset(parts),
        frozenset(note.hazard for note in dangers.notes if note.urgent),
        _sparse(plainest),
        _sparse(dangers.profile),
        tuple(round(float(share), 4) for share in reads.intents.shares(message)),
    )


def _sparse(row: Vectors) -> dict[int, float]:
    return {int(number): round(float(row[number]), 4) for number in np.flatnonzero(row)}


def _profile(document: Document, reads: Reads) -> Vectors:
    """How plainly a text tells each symptom."""
    cut = pieces(document)
    return reads.symptoms.profile(document, cut, _encoded(document, cut, reads))


def _encoded(document: Document, cut: Sequence[Piece], reads: Reads) -> Vectors:
    return reads.encoder.encode([document.words(piece.first, piece.last) for piece in cut])


def _read_question(text: str, reads: Reads) -> tuple[Dangers, Vectors]:
    """What an answer's question tells of danger, and how plainly it tells each symptom."""
    document = reads.facts.language.annotate(text)
    cut = pieces(document)
    vectors = _encoded(document, cut, reads)
    facts = reads.symptoms.read(reads.facts.read(document), document, cut, vectors)
    bounds = [(piece.first, piece.last) for piece in cut]
    return reads.hazards.told(document, bounds, vectors, facts), reads.symptoms.profile(document, cut, vectors)


def _short(text: str, length: int = 16) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:length]

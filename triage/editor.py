"""The editor's desk, where queue, growth room and the pack's files meet: look, judge, take, refuse."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np

from triage.editor_material import materials, reader_of, tools_of
from triage.growth.disagree import disagreements
from triage.growth.file_text import changed, fresh
from triage.growth.joining import MovedOn, carried_onto, joined
from triage.growth.overlap import share_of
from triage.growth.proposal import Disagreement, Kind, Line, Neighbour, Origin, Proposal, Said, State
from triage.growth.propose import Tools, propose, sentences_of
from triage.growth.statements import Reader
from triage.matching.index import LONGEST, Part
from triage.pack import Pack, load
from triage.pack.documents import read_document
from triage.pack.journal import change_files
from triage.pack.schema import Answer
from triage.pack.slugs import slug, unused
from triage.pipeline import Stages
from triage.store import Store, Thread
from triage.unusable import Unusable

NEIGHBOURS = 5
NEAR = 0.5  # cosine of two answers as whole texts from which they are told as neighbours
READER = "triage"  # signs what the program proposes by itself


@dataclass(frozen=True, slots=True)
class Beside:
    """What speaks about a proposal before anybody takes it."""

    neighbours: tuple[Neighbour, ...]
    disagreements: tuple[Disagreement, ...]


@dataclass(frozen=True, slots=True)
class Taken:
    """What taking a proposal came to."""

    proposal: Proposal
    files: tuple[Path, ...] = ()  # written or removed; none while another person must agree
    pack: Pack | None = None  # as it is now

    @property
    def waits(self) -> bool:
        """Another person must agree first."""
        return self.proposal.state is State.WAITING


def look(store: Store, stages: Stages, *, on: date, by: str = READER) -> tuple[int, ...]:
    """Go through what was answered since the last look; numbers of the proposals made or added to."""
    tools, numbers, seen = tools_of(stages), list[int](), list[tuple[int, int]]()
    for thread, material in materials(store, stages):
        seen.append((thread.id, len(material.sent)))
        if (made := propose(material, tools, on)) is not None:
            numbers.append(_keep(made, store, tools, by))
    store.proposals.mark_looked_at(seen, by=by)
    return tuple(dict.fromkeys(numbers))


def _keep(made: Proposal, store: Store, tools: Tools, by: str) -> int:
    known = joined(store.proposals.all(State.WAITING), made, tools.wordings)
    if known is None:
        return store.proposals.keep(made, by=by)
    askers = {(thread.asker.email or thread.asker.name) for thread in _threads(known, store)}
    store.proposals.replace(replace(known, askers=len(askers)), by=by, why="asked again")
    return known.id


def _threads(proposal: Proposal, store: Store) -> Iterator[Thread]:
    return (store.thread(number) for number in proposal.threads)


def beside(proposal: Proposal, stages: Stages, reader: Reader | None = None) -> Beside:
    """The nearest answers, and the sentences of the base that what is new in it disagrees with."""
    reader = reader or reader_of(stages)
    gone = {answer.id for answer in proposal.before}
    others = [answer for answer in stages.pack.answers if answer.id not in gone]
    said = {line.text for line in proposal.lines}
    held = [*others, *(proposal.before if said else ())]  # what is put in is held against what it leaves out as well
    found = tuple(
        found
        for answer in proposal.after
        for found in disagreements(replace(answer, id=f"{answer.id} proposed"), held, reader, stages.pack.vehicles)
        if proposal.kind is Kind.NEW or found.sentence in said or not said
    )
    return Beside(tuple(_neighbours(proposal, others, stages)), found)


def _neighbours(proposal: Proposal, others: Sequence[Answer], stages: Stages) -> Iterator[Neighbour]:
    """As whole texts, or by one way of asking: whichever is nearer."""
    index = stages.index
    numbers = {answer.id: number for number, answer in enumerate(index.answers)}
    near = np.zeros(len(index), np.float32)
    for part, texts in (
        (Part.WHOLE, [f"{a.title}. {a.question} {a.text}"[:LONGEST] for a in proposal.after]),
        (Part.WORDING, [text for a in proposal.after for text in (a.question, *a.variants)]),
    ):
        rows = np.flatnonzero(index.part == part)
        likeness = (index.vectors[rows] @ stages.encoder.encode(texts).T).max(axis=1)
        np.maximum.at(near, index.owner[rows], likeness)
    listed = sorted((a for a in others if a.id in numbers), key=lambda a: -float(near[numbers[a.id]]))
    for answer in listed[:NEIGHBOURS]:
        likeness_of = float(near[numbers[answer.id]])
        if likeness_of >= NEAR:
            overlap = share_of(proposal.after[0].applies_to, answer.applies_to, stages.pack.vehicles)
            yield Neighbour(answer.id, round(likeness_of, 3), round(overlap, 3))


def take(store: Store, pack: Pack, number: int, *, by: str, on: date) -> Taken:
    """Take a proposal into the base: its files are written, all or none.

    Where the shop wants two persons for answers with hazards, the first only agrees. Raises Unusable for one already
    decided, or whose answer was changed since in the same place; NotFound.
    """
    proposal = waiting(store, number)
    if pack.shop.two_for_hazards and proposal.hazards and not set(proposal.agreed) - {by}:
        agreed = replace(proposal, agreed=tuple(dict.fromkeys((*proposal.agreed, by))))
        store.proposals.replace(agreed, by=by, why="agreed; another person must agree too")
        return Taken(agreed)
    if _is_there(proposal, pack):  # its files were written, and the program ended before it could say so
        final, contents = proposal, dict[Path, bytes | None]()
    else:
        final = _ready(proposal, pack, on)
        contents = _files(final, pack)
        change_files(pack.root / "shop", contents)
    done = replace(final, state=State.TAKEN, agreed=tuple(dict.fromkeys((*proposal.agreed, by))))
    store.proposals.replace(done, by=by)
    return Taken(done, tuple(contents), load(pack.root))


def _is_there(proposal: Proposal, pack: Pack) -> bool:
    present = {answer.id: replace(answer, reviewed="") for answer in pack.answers}
    leaves = {answer.id for answer in proposal.before} - {answer.id for answer in proposal.after}
    return leaves.isdisjoint(present) and all(present.get(a.id) == replace(a, reviewed="") for a in proposal.after)


def _ready(proposal: Proposal, pack: Pack, on: date) -> Proposal:
    """Carried onto the answers as they are now, signed with the day; an id that was taken meanwhile is changed."""
    present = {answer.id: answer for answer in pack.answers}
    missing = [answer.id for answer in proposal.before if answer.id not in present]
    if missing:
        raise Unusable(
            f"The answer {missing[0]} is no longer in the base. Refuse proposal {proposal.id}, and look again."
        )
    before = tuple(present[answer.id] for answer in proposal.before)
    after = proposal.after
    if len(before) == len(after) == 1:
        try:
            after = (carried_onto(before[0], proposal.before[0], after[0]),)
        except MovedOn as error:
            raise Unusable(f"{error}. Reword proposal {proposal.id} from the answer as it is now.") from error
    kept = {answer.id for answer in before}
    taken = {name.casefold() for name in present if name not in kept}
    dated = tuple(replace(a, id=unused(a.id, taken), reviewed=on.isoformat()) for a in after)
    return replace(proposal, before=before, after=dated)


def _files(proposal: Proposal, pack: Pack) -> dict[Path, bytes | None]:
    """What to write: the answer's own file with what changed in it, new files, and None for those that go."""
    places = files_of(pack)
    contents: dict[Path, bytes | None] = {places[answer.id]: None for answer in proposal.before}
    before = {answer.id: answer for answer in proposal.before}
    folder = pack.root / "shop" / "answers"
    used = {path.stem.casefold() for path in places.values()}
    for answer in proposal.after:
        if answer.id in before:
            file = places[answer.id]
            text = changed(file.read_text(encoding="utf-8-sig"), before[answer.id], answer)
        else:
            file = folder / f"{unused(slug(answer.id) or 'answer', used)}.md"
            used.add(file.stem.casefold())
            text = fresh(answer)
        contents[file] = text.encode()
    return contents


def files_of(pack: Pack) -> Mapping[str, Path]:
    """The file of each answer of the shop's own part; those of a pack it extends are not its to change."""
    found: dict[str, Path] = {}
    for file in sorted((pack.root / "shop" / "answers").rglob("*.md")):
        if file.name != "README.md":
            data = read_document(file).data()
            found[str(data["id"]) if isinstance(data, dict) else ""] = file
    return found


def refuse(store: Store, number: int, why: str, *, by: str) -> Proposal:
    """Leave a proposal out, with the reason. Raises Unusable without one, or for one already decided."""
    if not why.strip():
        raise Unusable("Say why, in a few words: whoever proposes it again reads it.")
    refused = replace(waiting(store, number), state=State.REFUSED, reason=why.strip())
    store.proposals.replace(refused, by=by, why=why.strip())
    return refused


def reword(store: Store, number: int, *after: Answer, by: str) -> Proposal:
    """Put the editor's text in the place of what was proposed; who agreed so far must agree again."""
    proposal = waiting(store, number)
    known = {line.text: line for line in proposal.lines}
    old = {text for answer in proposal.before for text in sentences_of(answer)}
    texts = [text for answer in after for text in sentences_of(answer) if text not in old]
    lines = tuple(known.get(text) or Line(text, (Said(Origin.EDITOR, text, place=by),)) for text in texts)
    hazards = tuple(dict.fromkeys(name for answer in after for name in answer.hazards))
    reworded = replace(proposal, after=after, lines=lines, hazards=hazards, agreed=())
    store.proposals.replace(reworded, by=by, why="reworded")
    return reworded


def waiting(store: Store, number: int) -> Proposal:
    """A proposal nobody decided yet. Raises Unusable for one that is, NotFound."""
    proposal = store.proposals.get(number)
    if proposal.state is not State.WAITING:
        raise Unusable(f"Proposal {number} is {proposal.state.value} already.")
    return proposal

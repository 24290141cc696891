"""One answered question -> what it could add to the answer base; None where it adds nothing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from triage.growth.body import is_branch, laid_out, with_branch, with_replaced, with_sentences
from triage.growth.general import Lifter, lines_of
from triage.growth.material import SAME, Material, Piece, nearest, pieces
from triage.growth.naming import question_of, title_of, variant_of
from triage.growth.proposal import Kind, Line, Origin, Proposal, Said
from triage.growth.scoping import applies_to, depended, wider
from triage.growth.wordlists import WordLists
from triage.language import Language
from triage.model import Fact
from triage.pack import Pack
from triage.pack.schema import Answer, Intent
from triage.pack.slugs import slug, unused
from triage.reply.sentences import blocks, sentences

MOSTLY = 0.5  # share of what went out that stands in an answer already, from which it is that answer
REWORDED = 0.45  # likeness from which a new sentence takes the place of one that was left out
FEWEST = 2  # sentences that make an answer of their own; or one long one
LONG = 14  # words
FOUND = 0.5  # probability from which an answer was found well
KNOWN_WORDING = 0.8  # cosine from which a wording is there already

Meets = Callable[[Answer, Mapping[str, Fact]], tuple[str, ...]]  # facts that speak against an answer's range
Likeness = Callable[[str, Sequence[str]], Sequence[float]]  # cosines of a wording with others
HazardsOf = Callable[[str, str], tuple[str, ...]]  # a text and what drives the vehicle -> hazards it speaks of


@dataclass(frozen=True)
class Tools:
    """What proposing works with, compiled for one pack."""

    pack: Pack
    language: Language
    lists: WordLists
    lifter: Lifter
    against: Meets
    wordings: Likeness
    hazards_in: HazardsOf


def propose(material: Material, tools: Tools, on: date) -> Proposal | None:
    """What an answered question could add: a change to the answer it mostly repeats, else an answer of its own."""
    kept = [piece for piece in pieces(material, tools.lists) if not _only_of_one(piece, material, tools)]
    if not kept or material.helped is False:
        return None
    base = _repeated(kept, material, tools)
    made = _change(base, kept, material, tools) if base else _new(kept, material, tools)
    if made is None:
        return None
    hazards = tuple(dict.fromkeys(name for answer in made.after for name in answer.hazards))
    authors = tuple(dict.fromkeys(piece.by for piece in kept if not piece.source))
    return replace(made, threads=(material.thread,), authors=authors, hazards=hazards, made=on)


def _only_of_one(piece: Piece, material: Material, tools: Tools) -> bool:
    return not piece.source and tools.lifter.tells_of_one(piece.text, material)


def _repeated(kept: Sequence[Piece], material: Material, tools: Tools) -> Answer | None:
    """The answer that most of what went out stands in."""
    names = dict.fromkeys([material.carried, *(name for name, _ in material.offered[:3])])
    known = {answer.id: answer for answer in tools.pack.answers}
    shares = {name: _share(kept, known[name]) for name in names if name in known}
    best = max(shares, key=lambda name: shares[name], default="")
    return known[best] if best and shares[best] >= MOSTLY else None


def _share(kept: Sequence[Piece], answer: Answer) -> float:
    texts = sentences_of(answer)
    own = [piece for piece in kept if not piece.source.startswith("check:")]
    there = sum(piece.source == f"answer:{answer.id}" or nearest(piece.text, texts)[0] >= REWORDED for piece in own)
    return there / len(own) if own else 0.0


def sentences_of(answer: Answer) -> tuple[str, ...]:
    """The sentences of an answer's text, a branch as one."""
    return tuple(
        text for block in blocks(answer.text) for text in ((block.text,) if block.bullet else sentences(block.text))
    )


def _change(base: Answer, kept: Sequence[Piece], material: Material, tools: Tools) -> Proposal | None:
    """What a person wrote into an answer; else a range that was too narrow, or a wording it was not found by."""
    texts = sentences_of(base)
    new = [piece for piece in kept if not piece.source and nearest(piece.text, texts)[0] < SAME]
    lines = lines_of(new, tools.lifter, material, naming=True)
    after, kind = _with_lines(base, lines, [piece.text for piece in kept])
    against = tools.against(base, material.facts)
    ranged = replace(after, applies_to=wider(after.applies_to, material.facts, against))
    if lines:
        added = tools.hazards_in(" ".join(line.text for line in lines), base.applies_to.powertrain or "any")
        ranged = replace(ranged, hazards=list(dict.fromkeys([*ranged.hazards, *added])))
        return Proposal(0, kind, (base,), (ranged,), lines, reason="a person changed this answer before it went out")
    if ranged.applies_to != base.applies_to:
        reason = f"it was sent for a vehicle outside its range ({', '.join(against)})"
        return Proposal(0, Kind.SCOPE, (base,), (ranged,), reason=reason)
    return _variant(base, material, tools)


def _with_lines(base: Answer, lines: Sequence[Line], sent: Sequence[str]) -> tuple[Answer, Kind]:
    """An answer with what was written instead of its sentences, or beside them; a branch alone is told as such."""
    unsent = [text for text in sentences_of(base) if nearest(text, sent)[0] < SAME]
    text, kinds, added = base.text, set[Kind](), list[str]()
    for line in lines:
        alike, old = nearest(line.text, unsent)
        if alike >= REWORDED:
            text, kind = with_replaced(text, old, line.text), Kind.REWORDING
            unsent.remove(old)
        elif is_branch(line.text):
            text, kind = with_branch(text, line.text), Kind.BRANCH
        else:
            added.append(line.text)
            kind = Kind.REWORDING
        kinds.add(kind)
    return replace(base, text=with_sentences(text, added)), Kind.BRANCH if kinds == {Kind.BRANCH} else Kind.REWORDING


def _variant(base: Answer, material: Material, tools: Tools) -> Proposal | None:
    """A wording that the answer was not found by."""
    first, probability = material.offered[0] if material.offered else ("", 0.0)
    wording = variant_of(material, tools.lifter)
    if not wording or (first == base.id and probability >= FOUND):
        return None
    if max(tools.wordings(wording, [base.question, *base.variants]), default=0.0) >= KNOWN_WORDING:
        return None
    after = replace(base, variants=[*base.variants, wording])
    reason = f"asked like this the answer was not found well ({probability:.0%} for {first or 'none'})"
    return Proposal(0, Kind.VARIANT, (base,), (after,), (asked(wording, material),), reason=reason)


def asked(text: str, material: Material) -> Line:
    """A wording as a line that points at the asker's message."""
    return Line(text, (Said(Origin.ASKED, material.question, material.thread, material.message),))


def _new(kept: Sequence[Piece], material: Material, tools: Tools) -> Proposal | None:
    own = [piece for piece in kept if not piece.source or piece.source.startswith("answer:")]
    mattered = _mattered(own, material, tools)
    asks = [piece for piece in own if piece.text.rstrip().endswith("?")]
    lines = lines_of([piece for piece in own if piece not in asks], tools.lifter, material, "model" in mattered)
    if not any(not piece.source for piece in own) or not _enough(lines):
        return None
    answer = _answer(lines, material, mattered, tools)
    answer = replace(answer, follow_ups=[line.text for line in lines_of(asks, tools.lifter, material, False)])
    answer = replace(answer, checks=[p.source.partition(":")[2] for p in kept if p.source.startswith("check:")])
    return Proposal(0, Kind.NEW, (), (answer,), lines, reason="no answer of the base says this")


def _enough(lines: Sequence[Line]) -> bool:
    return len(lines) >= FEWEST or any(len(line.text.split()) >= LONG for line in lines)


def _mattered(kept: Sequence[Piece], material: Material, tools: Tools) -> frozenset[str]:
    """Facts the sentences depend on, and those by which a sentence names the vehicle."""
    named = frozenset[str]().union(*(tools.lifter.names_vehicle(piece.text, material) for piece in kept))
    return named | depended((piece.text for piece in kept), tools.language, tools.lists)


def _answer(lines: Sequence[Line], material: Material, mattered: frozenset[str], tools: Tools) -> Answer:
    pack, texts = tools.pack, [line.text for line in lines]
    scope = applies_to(material.facts, mattered, pack.vehicles)
    title, wording = title_of(material, texts, scope, tools.lifter, pack), variant_of(material, tools.lifter)
    question = question_of(material, texts, tools.lifter, pack)
    read = tools.hazards_in(" ".join([question, *texts]), scope.powertrain or "any")
    return Answer(
        id=unused(slug(title) or "answer", {answer.id.casefold() for answer in pack.answers}),
        title=title,
        question=question,
        text=laid_out(texts),
        variants=[wording] if wording and wording != question else [],
        applies_to=scope,
        needs=[name for name in pack.facts if name in mattered and name in material.facts],
        hazards=list(dict.fromkeys([*read, *material.hazards])),
        symptoms=list(material.symptoms),
        intents=[intent for intent in _INTENTS if intent == material.intent],
        author=" and ".join(dict.fromkeys(said.by for said in material.sent)),
    )


_INTENTS: tuple[Intent, ...] = ("diagnose", "may_i", "which_part", "how_to", "size", "identify")

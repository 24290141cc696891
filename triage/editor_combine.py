"""Proposals put together, with an answer or with each other, and one taken apart."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from triage.editor import waiting
from triage.growth.combining import apart, together
from triage.growth.proposal import Kind, Proposal, State
from triage.pack import Pack
from triage.pack.problem import suggest
from triage.pack.schema import Answer
from triage.pack.slugs import slug, unused
from triage.store import Store
from triage.unusable import Unusable


def merge_with_answer(store: Store, pack: Pack, number: int, answer: str, *, by: str) -> Proposal:
    """Put what is proposed into an answer of the base instead. Raises Unusable, NotFound."""
    proposal = _single(store, number)
    known = {one.id: one for one in pack.answers}
    if answer not in known:
        raise Unusable(f"There is no answer '{answer}'. {suggest(answer, known)}")
    merged = _without_strangers(together(known[answer], *proposal.after), pack)
    before = (known[answer], *(one for one in proposal.before if one.id != answer))
    made = replace(proposal, kind=Kind.MERGE, before=before, after=(merged,), hazards=tuple(merged.hazards), agreed=())
    store.proposals.replace(made, by=by, why=f"put into {answer}")
    return made


def merge_proposals(store: Store, pack: Pack, number: int, other: int, *, by: str) -> Proposal:
    """Put two waiting proposals into one, under the first number; the second is closed. Raises Unusable, NotFound."""
    if number == other:
        raise Unusable("Name two proposals.")
    first, second = _single(store, number), _single(store, other)
    merged = _without_strangers(together(first.after[0], second.after[0]), pack)
    gone = {answer.id for answer in first.before}
    before = (*first.before, *(answer for answer in second.before if answer.id not in gone))
    threads = tuple(dict.fromkeys((*first.threads, *second.threads)))
    made = replace(
        first,
        kind=Kind.MERGE if before else Kind.NEW,
        before=before,
        after=(merged,),
        lines=(*first.lines, *second.lines),
        threads=threads,
        askers=len({(t.asker.email or t.asker.name) for t in map(store.thread, threads)}) or first.askers,
        authors=tuple(dict.fromkeys((*first.authors, *second.authors))),
        hazards=tuple(merged.hazards),
        agreed=(),
    )
    with store.batch():
        store.proposals.replace(made, by=by, why=f"with proposal {other}")
        closed = replace(second, state=State.REFUSED, reason=f"put together with proposal {number}")
        store.proposals.replace(closed, by=by, why=closed.reason)
    return made


def _without_strangers(answer: Answer, pack: Pack) -> Answer:
    """Only answers of the base are named as replaced; a proposal never stood there."""
    known = {one.id for one in pack.answers}
    return replace(answer, replaces=[name for name in answer.replaces if name in known])


def split(
    store: Store, pack: Pack, number: int, places: Iterable[int], *, title: str, question: str, by: str
) -> Proposal:
    """Make two answers of what is proposed: the sentences at `places` (1 is the first) become one of their own.

    Raises Unusable, NotFound.
    """
    proposal = _single(store, number)
    taken = {answer.id.casefold() for answer in (*pack.answers, *proposal.after)}
    try:
        parts = apart(proposal.after[0], places, title, question, unused(slug(title) or "answer", taken))
    except ValueError as error:
        raise Unusable(str(error)) from error
    made = replace(proposal, kind=Kind.SPLIT, after=parts, agreed=())
    store.proposals.replace(made, by=by, why="split in two")
    return made


def _single(store: Store, number: int) -> Proposal:
    proposal = waiting(store, number)
    if len(proposal.after) != 1:
        raise Unusable(f"Proposal {number} makes several answers: take or refuse it first.")
    return proposal

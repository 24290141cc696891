"""Questions that were answered, read again with a changed answer base: what accepting a proposal would do."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace
from pathlib import Path

import numpy as np

from triage.engine import VectorCache, with_answers
from triage.growth.effect import SAME, Effect, Effects, Outcome, Resolved, Turn, gathered, right_after, successors
from triage.growth.effect import turn_of as turned
from triage.growth.learn_lessons import Became, feedback
from triage.growth.proposal import Proposal, applied
from triage.learning import ANSWERED, answering
from triage.matching.rank import Ask, choose, features
from triage.model import Question
from triage.pack.schema import Answer
from triage.pipeline import Stages, ask_for, read, understand
from triage.store import Store, Thread
from triage.unusable import Unusable

MOST = 400  # questions held against both bases; of more, those nearest to what the change touches
TITLE = 70  # characters of a question shown in its place
QUESTIONS = "questions.jsonl"  # in a pack's folder: questions a person labelled with their answer
Progress = Callable[[int, int], None]  # done, of how many


def resolved_threads(store: Store, stages: Stages, proposal: Proposal) -> Iterator[Resolved]:
    """Answered threads with one question; where what was sent is an answer of the base, or the proposed one, that is
    the right one.

    A thread the proposal was made from is answered by it.
    """
    base = {answer.id: answer for answer in (*stages.pack.answers, *proposal.after)}
    for thread in store.each_thread(ANSWERED):
        reply = answering(thread)
        if reply is None or len(thread.questions) != 1:
            continue
        own = frozenset(answer.id for answer in proposal.after) if thread.id in proposal.threads else frozenset()
        question = thread.questions[0]
        yield Resolved(question, own or _sent(reply.text, base), thread.id, _title(thread, question))


def _sent(text: str, base: Mapping[str, Answer]) -> frozenset[str]:
    told = feedback("", text, base)
    return frozenset({told.answer}) if told and told.became is Became.CHANGED else frozenset()


def _title(thread: Thread, question: Question) -> str:
    return thread.subject or shortened(question.text)


def shortened(text: str) -> str:
    """A question's opening words."""
    words = " ".join(text.split())
    return words if len(words) <= TITLE else words[: TITLE - 3].rsplit(" ", 1)[0] + "..."


def labelled(file: Path) -> Iterator[Resolved]:
    """The labelled questions of a file: one JSON object a line with id, text, answer (and subject, also_ok).

    A file that is not there holds none. Raises Unusable naming the line that cannot be read.
    """
    if not file.is_file():
        return
    for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), start=1):
        try:
            label = json.loads(line)
            question = Question(str(label["id"]), label["text"], label.get("subject") or "")
            answers = [label.get("answer"), *label.get("also_ok", ())]
        except (ValueError, KeyError, TypeError) as error:
            raise Unusable(
                f"{file}, line {number} is no labelled question ({error}): it needs id, text and answer."
            ) from error
        yield Resolved(question, frozenset(filter(None, answers)), title=shortened(question.text))


class Rereader:
    """Reads questions with the base as it is and as it would be; what does not hang on the base is kept."""

    def __init__(self, stages: Stages, cache: Path, most: int = MOST) -> None:
        self._most = most
        self._vectors = VectorCache(stages.encoder, cache / "asked")
        self._stages = replace(stages, encoder=self._vectors)
        self._asks: dict[str, Ask] = {}

    def effects(
        self,
        proposal: Proposal,
        resolved: Sequence[Resolved],
        progress: Progress = lambda done, of: None,
        turn: AbstractContextManager[object] | None = None,
    ) -> Effects:
        """What taking the proposal does to these questions; of more than `most`, to the nearest.

        `turn` is held while the models read, one question at a time, so that others get theirs.
        """
        after = with_answers(self._stages, applied(self._stages.pack.answers, proposal))
        changed = successors(proposal.before, proposal.after)
        looked_at = self._nearest(resolved, proposal)
        found = []
        for done, item in enumerate(looked_at, start=1):
            with turn or nullcontext():
                found.append(self._effect(item, after, changed))
            progress(done, len(looked_at))
        self._vectors.save()
        return replace(gathered(found), left=len(resolved) - len(looked_at))

    def _effect(self, item: Resolved, after: Stages, changed: Mapping[str, frozenset[str]]) -> Effect:
        """Ranked with both; read in full only where the ranking moves."""
        new = right_after(item.right, changed)
        ask = self._ask(item.question)
        before_shares, after_shares = shares(self._stages, ask), shares(after, ask)
        if not moves(before_shares, after_shares, changed):
            first = max(before_shares, key=lambda id: before_shares[id], default="")
            still = Outcome(first, before_shares.get(first, 0.0))
            return Effect(item, still, still, Turn.SAME)
        before = Outcome.of(read(item.question, self._stages), item.right)
        later = Outcome.of(read(item.question, after), new)
        return Effect(item, before, later, turned(before, later, changed, known=item.known))

    def _ask(self, question: Question) -> Ask:
        key = f"{question.id} {question.text}"
        if key not in self._asks:
            self._asks[key] = ask_for(question, understand(question, self._stages), self._stages)
        return self._asks[key]

    def _nearest(self, resolved: Sequence[Resolved], proposal: Proposal) -> list[Resolved]:
        """The questions nearest to what the proposal touches, in their order; those it was made from among them."""
        if len(resolved) <= self._most:
            return list(resolved)
        touched = [
            text for a in (*proposal.before, *proposal.after) for text in (a.question, a.title, a.text, *a.variants)
        ]
        asked = self._vectors.encode([item.question.text for item in resolved])
        likeness = (asked @ self._vectors.encode(touched).T).max(axis=1)
        own = np.array([item.thread in proposal.threads for item in resolved])
        return [resolved[i] for i in sorted(np.argsort(-(likeness + 2 * own), kind="stable")[: self._most])]


def shares(stages: Stages, ask: Ask) -> dict[str, float]:
    """The probability of every answer that no firm fact speaks against."""
    seen = features(stages.index, ask)
    probabilities, _ = choose(seen, ask.elsewhere, stages.ranker)
    pairs = zip(seen.numbers, probabilities, seen.fits, strict=True)
    return {stages.index.answers[number].id: float(share) for number, share, fits in pairs if not fits.excluded}


def moves(before: Mapping[str, float], after: Mapping[str, float], changed: Mapping[str, frozenset[str]]) -> bool:
    """True when any answer's probability is another; what comes in the place of an answer is held against it."""
    gone = {id for id, new in changed.items() if id not in new}
    came = after.keys() - before.keys()
    steps = [abs(after.get(id, 0.0) - share) for id, share in before.items() if id not in gone]
    replaced = abs(sum(after[id] for id in came) - sum(before.get(id, 0.0) for id in gone))
    return max([*steps, replaced], default=0.0) >= SAME

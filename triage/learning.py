"""Where queue, stages and learning meet: the lessons that lie in what was drafted and what was sent."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from triage.growth.learn_lessons import Feedback, Lesson, feedback, lesson
from triage.growth.learn_logit import Rows, rows_of
from triage.matching.features import features
from triage.pipeline import Stages, ask_for, understand
from triage.store import Reply, Store, Thread, ThreadState

ANSWERED = (ThreadState.REPLIED, ThreadState.SETTLED)
READER = "triage"  # signs what the program drafted by itself
Progress = Callable[[int, int], None]  # done, of how many


def lessons_of(store: Store, stages: Stages, progress: Progress = lambda done, of: None) -> list[Lesson]:
    """A lesson from every answered thread that teaches one; each question is read anew with the present base."""
    told = list(_told(store, stages))
    result = []
    for done, (thread, person, what) in enumerate(told, start=1):
        found = lesson(thread.id, person, what, rows_seen(thread, stages))
        result += [found] if found else []
        progress(done, len(told))
    return result


def _told(store: Store, stages: Stages) -> Iterator[tuple[Thread, str, Feedback]]:
    """Threads with one question and a reply that answers it, who replied, and what became of the draft."""
    base = {answer.id: answer for answer in stages.pack.answers}
    for thread in store.each_thread(ANSWERED):
        reply = answering(thread)
        if reply is None or len(thread.questions) != 1:
            continue
        if what := feedback(drafted_answer(thread), reply.text, base):
            yield thread, reply.by, what


def answering(thread: Thread) -> Reply | None:
    """The last reply that was sent; None where there was none."""
    return thread.replies[-1] if thread.replies else None


def drafted_answer(thread: Thread) -> str:
    """The answer that the program's own first draft was built on; "" where it carried none, or several."""
    first = next((version.draft for version in thread.drafts if version.by == READER), None)
    named = {s.source for s in first.sentences if s.source.startswith("answer:")} if first else set()
    return named.pop().removeprefix("answer:") if len(named) == 1 else ""


def rows_seen(thread: Thread, stages: Stages) -> Rows:
    """What the ranker sees of a thread's one question, with the facts a person set."""
    ask = ask_for(question := thread.questions[0], understand(question, stages, thread.facts), stages)
    seen = features(stages.index, ask)
    return rows_of(seen, [stages.index.answers[number].id for number in seen.numbers], ask.elsewhere)

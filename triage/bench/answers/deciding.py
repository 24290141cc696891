"""What an editor typed on a proposal's page, made into answers. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from starlette.datastructures import FormData

from triage.pack.schema import Answer
from triage.unusable import Unusable

LONGEST = 20_000  # characters of an answer


def reworded(after: Sequence[Answer], form: FormData) -> tuple[Answer, ...]:
    """The answers with title, question and text as typed, in their order. Raises Unusable for what is left empty."""
    typed = [[str(value) for value in form.getlist(name)] for name in ("title", "question", "text")]
    if any(len(values) != len(after) for values in typed):
        raise Unusable("The page is of another state of this proposal. Open it again, and then change it.")
    return tuple(_reworded(answer, *values) for answer, *values in zip(after, *typed, strict=True))


def _reworded(answer: Answer, title: str, question: str, text: str) -> Answer:
    title, question = (" ".join(value.split()) for value in (title, question))
    text = "\n".join(line.rstrip() for line in text.splitlines()).strip()
    if not (title and question and text) or len(text) > LONGEST:
        raise Unusable(f"An answer needs a title, a question and a text of up to {LONGEST} characters.")
    return replace(answer, title=title, question=question, text=text)


def chosen(form: FormData) -> tuple[str, str]:
    """What to join with: ("answer", id) or ("proposal", number). Raises Unusable."""
    kind, _, name = str(form.get("with", "")).partition(" ")
    if kind not in ("answer", "proposal") or not name or (kind == "proposal" and not name.isdigit()):
        raise Unusable("Choose what to join it with.")
    return kind, name

"""Proposals as lines, as a page of text, and as JSON."""

from __future__ import annotations

import difflib
import textwrap
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from triage.cli.errors import naming
from triage.editor import Beside
from triage.growth.file_text import fresh
from triage.growth.proposal import Disagreement, Line, Proposal, Said
from triage.pack.documents import Unreadable, read_document
from triage.pack.problem import PackError
from triage.pack.records import ANSWERS, Entry, build
from triage.pack.render import to_data
from triage.pack.schema import Answer
from triage.pack.yamltext import BadYaml


def proposal_line(proposal: Proposal) -> str:
    """One line of the list."""
    about = f"{proposal.kind.value}: {proposal.title}"
    touched = f" (answer {proposal.answer})" if proposal.answer else ""
    asked = f"asked by {proposal.askers}" if proposal.askers > 1 else "asked once"
    return f"{proposal.id:>4}  {about}{touched}; {asked}; {proposal.state.value}"


def proposal_page(proposal: Proposal, around: Beside) -> str:
    """The whole of a proposal for a person to judge."""
    parts = [
        proposal_line(proposal),
        f"Why: {proposal.reason}",
        "\n".join(_difference(proposal)),
        "\n".join(_lines(proposal.lines)),
        _section(
            "Near answers",
            (f"{n.answer}: {n.likeness:.2f} alike, {n.overlap:.0%} of its vehicles" for n in around.neighbours),
        ),
        _section("Disagrees with", (_disagreement(one) for one in around.disagreements)),
        f"Hazards: {', '.join(proposal.hazards) or 'none'}",
    ]
    if proposal.agreed:
        parts.append(f"Agreed: {', '.join(proposal.agreed)}")
    return "\n\n".join(filter(None, parts))


def _difference(proposal: Proposal) -> Iterator[str]:
    if not proposal.before:
        yield from (line for answer in proposal.after for line in fresh(answer).splitlines())
        return
    before, after = ("\n".join(map(fresh, answers)) for answers in (proposal.before, proposal.after))
    yield from difflib.unified_diff(
        before.splitlines(), after.splitlines(), "in the base", "proposed", lineterm="", n=1
    )


def _lines(lines: tuple[Line, ...]) -> Iterator[str]:
    for number, line in enumerate(lines, 1):
        yield textwrap.fill(f"{number}. {line.text}", 100, subsequent_indent="   ")
        yield from (f"     {place_of(said)}" for said in line.said)


def place_of(said: Said) -> str:
    """Where something was said, in words."""
    thread = f"thread {said.thread}" if said.thread else ""
    span = f"characters {said.span.start} to {said.span.end}" if said.span else ""
    return ", ".join(filter(None, (said.origin.value, thread, said.place, span)))


def _section(title: str, lines: Iterator[str]) -> str:
    told = [f"  {line}" for line in lines]
    return "\n".join([f"{title}:", *told]) if told else f"{title}: none"


def _disagreement(one: Disagreement) -> str:
    return f"{one.answer} ({one.kind}: {one.says})\n    proposed: {one.sentence}\n    base:     {one.other}"


def proposal_json(proposal: Proposal, around: Beside | None = None) -> dict[str, Any]:
    """A proposal for scripts."""
    told: dict[str, Any] = {
        "number": proposal.id,
        "kind": proposal.kind.value,
        "state": proposal.state.value,
        "before": [to_data(answer) for answer in proposal.before],
        "after": [to_data(answer) for answer in proposal.after],
        "lines": [{"text": line.text, "said": [place_of(said) for said in line.said]} for line in proposal.lines],
        "threads": list(proposal.threads),
        "askers": proposal.askers,
        "authors": list(proposal.authors),
        "hazards": list(proposal.hazards),
        "made": proposal.made.isoformat(),
        "reason": proposal.reason,
        "agreed": list(proposal.agreed),
    }
    if around is None:
        return told
    near = [{"answer": n.answer, "likeness": n.likeness, "overlap": n.overlap} for n in around.neighbours]
    odds = [
        {"answer": d.answer, "kind": d.kind, "says": d.says, "sentence": d.sentence, "other": d.other}
        for d in around.disagreements
    ]
    return told | {"neighbours": near, "disagreements": odds}


def read_answer(file: Path) -> Answer:
    """The answer in a file. Raises PackError with everything that is wrong with it."""
    with naming(file):
        try:
            document = read_document(file)
            made = build(ANSWERS, document.data(), document)
        except Unreadable as error:
            raise PackError([error.problem]) from error
        except BadYaml as error:
            raise PackError([document.syntax_problem(error)]) from error
    if not isinstance(made, Entry):
        raise PackError(made)
    answer: Answer = made.record
    return answer

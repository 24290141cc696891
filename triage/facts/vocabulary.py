"""Facts that stand in the pack's word lists: values said outright, and values that words imply."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from triage.facts.candidate import Candidate, words_basis
from triage.language import Document, Mention
from triage.model import Standing
from triage.pack.words import Implication


def find(document: Document, implications: Sequence[Implication]) -> Iterator[Candidate]:
    """Candidates for every closed fact that has words, and what words imply where nothing is said outright."""
    stated = list(_stated(document))
    yield from stated
    yield from _implied(document, implications)


def _stated(document: Document) -> Iterator[Candidate]:
    parts = document.of_kind("part")
    values = document.of_kind("value")
    for mention in values:
        if not _inside_longer(mention, parts) and not _is_choice(document, mention, values):
            basis = words_basis(document, mention.first, mention.last)
            yield Candidate(mention.entry.key, mention.entry.value, mention.first, mention.last, basis=basis)


def _is_choice(document: Document, mention: Mention, values: Sequence[Mention]) -> bool:
    """ "gas or electric?", "Gas/electric:": two values of one fact offered, none said."""
    for other in values:
        between = document.tokens[min(mention.last, other.last) : max(mention.first, other.first)]
        rival = other.entry.key == mention.entry.key and other.entry.value != mention.entry.value
        if rival and [token.norm for token in between] in (["or"], ["/"], ["vs"]):
            return True
    return False


def _inside_longer(mention: Mention, parts: Sequence[Mention]) -> bool:
    """ "gas" inside "gas pedal" is no word for the powertrain."""
    length = mention.last - mention.first
    return any(p.first <= mention.first and mention.last <= p.last and p.last - p.first > length for p in parts)


def _implied(document: Document, implications: Sequence[Implication]) -> Iterator[Candidate]:
    taken_back = {mention.entry.key for mention in document.of_kind("unless")}
    seen: set[tuple[str, str]] = set()
    for mention in document.of_kind("implies"):
        implication = implications[int(mention.entry.key)]
        key = (implication.fact, implication.value)
        if mention.entry.key in taken_back or key in seen or document.scopes.denied(mention.first, mention.last):
            continue
        seen.add(key)
        words = document.words(mention.first, mention.last)
        standing = Standing.OTHER if document.scopes.other(mention.first) else Standing.INFERRED
        yield Candidate(
            implication.fact,
            implication.value,
            mention.first,
            mention.last,
            basis=f"'{words}' goes with {implication.value}",
            standing=standing,
        )

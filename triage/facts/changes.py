"""Changes that the vehicle has, and what it is used for."""

from __future__ import annotations

from collections.abc import Iterator

from triage.facts.candidate import Candidate, words_basis
from triage.language import Document, Mention
from triage.model import Standing

_ASKED = frozenset({"how", "does", "do", "would", "will", "which", "what", "is"})
_OWNED = frozenset("has have got with fitted put installed added had my the it carries carry on its came runs".split())
_BEFORE_A_THING = frozenset("a the no any with without has have my new of".split())


def find(document: Document) -> Iterator[Candidate]:
    """Candidates for modification and use."""
    yield from _simple(document, "modification")
    yield from _simple(document, "use")


def _simple(document: Document, kind: str) -> Iterator[Candidate]:
    seen: set[str] = set()
    for mention in document.of_kind(kind):
        if mention.entry.key in seen or (kind == "modification" and _is_verb(document, mention)):
            continue
        seen.add(mention.entry.key)
        basis = words_basis(document, mention.first, mention.last)
        asked = kind == "modification" and _is_asked_about(document, mention)
        standing = Standing.PLANNED if asked else None
        yield Candidate(kind, mention.entry.key, mention.first, mention.last, basis=basis, standing=standing)


def _is_asked_about(document: Document, mention: Mention) -> bool:
    """ "Does a lift hurt?", "how much is a lift kit": a thing asked about, not had."""
    window = range(max(0, mention.first - 5), mention.first)
    words = [document.norm(i) for i in window if document.same_sentence(i, mention.first)]
    return bool(_ASKED & set(words[:2])) and not _OWNED & set(words)


def _is_verb(document: Document, mention: Mention) -> bool:
    """A single bare word is a thing only after an article, a unit or a denial: "a lift", not "when I lift it"."""
    if mention.last - mention.first > 1 or document.norm(mention.first).endswith(("ed", "s")):
        return False
    before = document.norm(mention.first - 1)
    measured = any(q.last == mention.first and q.unit for q in document.quantities_from(mention.first - 4, 3))
    return before not in _BEFORE_A_THING and not measured

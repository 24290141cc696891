"""How a conflict is put into words: firm facts contradict, a hedged one is asked about."""

from __future__ import annotations

from collections.abc import Iterable

from triage.model import Conflict, Fact, FactValue, Standing


def conflict(
    name: str, about: Iterable[Fact], claim: str, reason: str, ask: str, source: str, *, sure: bool = True
) -> Conflict:
    """A conflict about some facts.

    `claim` is a noun phrase ("36 V in a 2012 Lark"), `reason` a clause that speaks against it. `sure` is False for
    what a rule of thumb only makes unlikely. A hedged fact turns the claim into a question.
    """
    facts = tuple(about)
    hedged = any(fact.standing is Standing.HEDGED for fact in facts)
    if hedged:
        says = f"Could {claim} be a slip? {_upper(reason)}."
    else:
        says = f"{_upper(claim)} {'cannot be right' if sure else 'would be unusual'}: {reason}."
    return Conflict(name, tuple(dict.fromkeys(fact.name for fact in facts)), says, ask, source)


def shown(fact: Fact) -> str:
    """A fact's value with its unit, as written in a reply."""
    return f"{plain(fact.value)} {fact.unit}".strip()


def plain(value: FactValue) -> str:
    """A value without needless digits."""
    return f"{value:.4g}" if isinstance(value, int | float) else str(value)


def counted(count: float, what: str) -> str:
    """ "1 battery", "6 batteries"."""
    plural = what[:-1] + "ies" if what.endswith("y") else what + "s"
    return f"{count:g} {what if count == 1 else plural}"


def article(words: str) -> str:
    """The words with "a" or "an" before them.

    >>> article("inductive pedal sensor"), article("8 V battery"), article("18 in tyre"), article("M12x1.25 nut")
    ('an inductive pedal sensor', 'an 8 V battery', 'an 18 in tyre', 'an M12x1.25 nut')
    """
    vowel = words[:1].lower() in "aeio" or words[:1] == "8" or words[:2] in ("11", "18", "M1")
    return f"{'an' if vowel else 'a'} {words}"


def listed(parts: Iterable[str], last: str = "and") -> str:
    """ "a, b and c"."""
    items = list(dict.fromkeys(parts))
    return f" {last} ".join(part for part in (", ".join(items[:-1]), *items[-1:]) if part)


def once_more(question: str) -> str:
    """A polite question for a fact that was told already."""
    return f"Could you look once more: {question[:1].lower()}{question[1:]}" if question else ""


def _upper(words: str) -> str:
    return words[:1].upper() + words[1:]

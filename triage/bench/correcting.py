"""What a person says of a fact, as the facts to keep in place of those read. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Literal

from triage.model import Fact, Standing
from triage.pack import Pack
from triage.pack.problem import suggest
from triage.typed_facts import given_facts, number_or_text
from triage.unusable import Unusable

How = Literal["is", "is_not"]


def said_of(
    facts: Iterable[Fact], name: str, vehicle: int, was: str, value: str, how: How, pack: Pack, by: str
) -> tuple[Fact, ...]:
    """The facts of this name that hold from now on, in a person's word: `value` in place of `was`.

    Of a fact that repeats (symptoms, work done) the others stay as they are. Raises Unusable.
    """
    if name not in pack.facts:
        raise Unusable(f"There is no fact '{name}'. {suggest(name, pack.facts)}")
    read = tuple(facts)
    new = [replace(_told(read, name, vehicle, was, value, how, pack, by), vehicle=vehicle)]
    kind = pack.facts[name]
    return (*_others(read, name, vehicle, was, new, by), *new) if kind.repeats or kind.kind == "list" else tuple(new)


def _told(facts: Iterable[Fact], name: str, vehicle: int, was: str, value: str, how: How, pack: Pack, by: str) -> Fact:
    """What the person says. What was measured, and when, stays with a measurement; only its figure is another."""
    read = next((f for f in facts if (f.name, f.vehicle, str(f.value)) == (name, vehicle, was)), None)
    standing = Standing.STATED if how == "is" else Standing.DENIED
    if read and read.what:
        figure = number_or_text(value)
        if isinstance(figure, str) and not isinstance(read.value, str) and how == "is":
            raise Unusable(f"'{value}' is not a number{f' in {read.unit}' if read.unit else ''}.")
        return replace(_set(read, by), value=read.value if how == "is_not" else figure, standing=standing)
    given = given_facts([f"{name}{'=' if how == 'is' else '!='}{value}"], pack, by).facts
    if not given:
        raise Unusable("Say what it is.")
    return given[0]


def _set(fact: Fact, by: str) -> Fact:
    return replace(fact, span=None, mentions=(), basis=f"set by {by}", message="")


def _others(facts: Iterable[Fact], name: str, vehicle: int, was: str, new: Sequence[Fact], by: str) -> Sequence[Fact]:
    """Those a person does not speak of now: kept, as set by the person, because theirs replace all that was read."""
    spoken_of = {was, *(str(fact.value) for fact in new)}
    own = (f for f in facts if (f.name, f.vehicle) == (name, vehicle) and str(f.value) not in spoken_of)
    kept = {(f.value, f.what, f.condition): f for f in own if f.standing.holds or f.standing is Standing.DENIED}
    return [_set(fact, by) for fact in kept.values()]

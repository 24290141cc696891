"""What a host needs beside a question: known and missing facts, causes with checks, the answer, numbers, safety."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from triage.model import Draft, Fact, Gap, Reading, Standing
from triage.pack import Pack
from triage.segment.asked import Asked, Week
from triage.segment.matter import CAUSE_COUNTS, has_answer
from triage.segment.programme import Essentials, Missing

MOST_KNOWN = 8
MOST_MISSING = 2
MOST_CAUSES = 3
MOST_CHECKS = 3
MOST_NUMBERS = 4
MOST_SAFETY = 3
WORTH_SAYING = 0.04  # of a gap
CHOICES = 4  # a fact with more values is not told for each of them
_ONE_LINE = ("year", "make", "model")
_NOT_KNOWN = frozenset({*_ONE_LINE, "intent", "symptom", "serial", "budget", "where", "location"})
_LONG_CLAUSE = 70  # characters
_CASE = re.compile(r"(?:If|When|On|With|For)\b[^:]{3,120}:", re.IGNORECASE)  # as answers begin a branch


def essentials_of(asked: Asked, week: Week) -> Essentials:
    """Everything beside the question; the answer is empty where there is none to give."""
    reading, pack = asked.reading, week.pack
    answered = has_answer(reading, pack)
    hazards = _hazards(asked, answered)
    return Essentials(
        known=tuple(_known(reading, week))[:MOST_KNOWN],
        missing=(*_at_odds(reading), *_missing(reading, week))[:MOST_MISSING],
        causes=tuple(_causes(reading, pack)),
        checks=tuple(week.say(step.text) for step in reading.checks[:MOST_CHECKS]) if reading.causes else (),
        answer=tuple(_lines(asked.aloud)) if answered else (),
        numbers=tuple(_numbers(asked, pack))[:MOST_NUMBERS],
        safety=tuple(week.say(text) for text in _safety(hazards, reading, pack))[:MOST_SAFETY],
        hazards=tuple(hazards),
    )


def _sentences(draft: Draft, sources: tuple[str, ...]) -> Iterator[str]:
    return (one.text for one in draft.sentences if one.source.startswith(sources))


def _lines(draft: Draft) -> Iterator[str]:
    """The answer, a line for each paragraph and each case of it."""
    line, paragraph = "", -1
    for sentence in draft.sentences:
        if not sentence.source.startswith("answer:"):
            continue
        if line and (sentence.paragraph != paragraph or _CASE.match(sentence.text)):
            yield line
            line = ""
        line, paragraph = f"{line} {sentence.text}".strip(), sentence.paragraph
    if line:
        yield line


# Known


def _known(reading: Reading, week: Week) -> Iterator[str]:
    facts = [f for f in reading.facts if f.standing.holds and f.vehicle == 1]
    by_name = {fact.name: fact for fact in reversed(facts)}
    cart = [by_name[name] for name in _ONE_LINE if name in by_name]
    if cart:
        yield _certain(" ".join(_plain(fact) for fact in cart), cart, week)
    for fact in facts:
        if fact.name not in _NOT_KNOWN and fact.standing is not Standing.INFERRED:
            yield _certain(_told(fact, week.pack), [fact], week)


def _told(fact: Fact, pack: Pack) -> str:
    value = " ".join(f"{_plain(fact)} {fact.unit}".split())
    if fact.name == "measurement":
        return " ".join(part for part in (fact.what, value, fact.condition) if part)
    if fact.name in ("work_done", "modification", "powertrain", "use"):
        return f"{value} ({fact.condition})" if fact.condition else value
    label = pack.facts[fact.name].label if fact.name in pack.facts else fact.name
    return f"{label}: {value}"


def _plain(fact: Fact) -> str:
    values = fact.value if isinstance(fact.value, tuple) else (fact.value,)
    return " ".join(f"{one:g}" if isinstance(one, int | float) else str(one) for one in values)


def _certain(text: str, facts: Sequence[Fact], week: Week) -> str:
    hedged = any(fact.standing is Standing.HEDGED for fact in facts)
    return week.phrase("hour_not_certain", value=text) if hedged else text


# Missing


def _at_odds(reading: Reading) -> Iterator[Missing]:
    """What does not fit together, and the question that would settle it."""
    for conflict in reading.conflicts[:1]:
        yield Missing(f"conflict:{conflict.id}", "", conflict.says, conflict.ask)


def _missing(reading: Reading, week: Week) -> Iterator[Missing]:
    gaps = sorted(reading.gaps, key=lambda gap: -gap.worth)
    settled = {name for conflict in reading.conflicts[:1] for name in conflict.facts}
    gaps = [gap for gap in gaps if gap.worth >= WORTH_SAYING and gap.fact not in settled]
    if not any(fact.name == "powertrain" and fact.standing.holds for fact in reading.facts):
        gaps = [Gap("powertrain", "", 1.0), *(gap for gap in gaps if gap.fact != "powertrain")]
    for gap in gaps:
        kind = week.pack.facts.get(gap.fact)
        if kind is not None:
            doubted = any(fact.name == gap.fact and fact.standing.holds for fact in reading.facts)
            says = week.phrase("hour_in_doubt", label=kind.label) if doubted else _says(kind.label, kind.values, week)
            yield Missing(gap.fact, kind.label, says, gap.ask or kind.ask)


def _says(label: str, values: Sequence[str], week: Week) -> str:
    if not 2 <= len(values) <= CHOICES:
        return week.phrase("hour_not_told", label=label)
    if set(values) == {"yes", "no"}:
        return week.phrase("hour_not_told_yes_no", label=label)
    choices = f"{', '.join(values[:-1])} or {values[-1]}"
    return week.phrase("hour_not_told_either" if len(values) == 2 else "hour_not_told_each", choices=choices)


# Causes and safety


def _causes(reading: Reading, pack: Pack) -> Iterator[str]:
    for belief in reading.causes[:MOST_CAUSES]:
        if belief.probability >= CAUSE_COUNTS and belief.cause in pack.causes:
            yield pack.causes[belief.cause].label


def _hazards(asked: Asked, answered: bool) -> list[str]:
    """Hazards to speak of: those of the reply; where checks are told instead, what these bring."""
    found = [s.source.partition(":")[2] for s in asked.aloud.sentences if s.source.startswith("hazard:")]
    told = [note.hazard for note in asked.reading.hazards if note.span is not None]
    steps = [] if answered else [name for step in asked.reading.checks[:MOST_CHECKS] for name in step.hazards]
    return list(dict.fromkeys([*told, *found, *steps]))


def _safety(hazards: Iterable[str], reading: Reading, pack: Pack) -> list[str]:
    """Short notes, the most severe first; a note the reading worded goes before the pack's."""
    notes = {note.hazard: note for note in reading.hazards}
    texts: list[tuple[int, str]] = []
    for name in hazards:
        if name in notes:
            texts.append((notes[name].signal.rank, notes[name].short or notes[name].note))
        elif name in pack.hazards:
            texts.append((pack.hazards[name].signal.rank, pack.hazards[name].short))
    return [text for _, text in sorted(texts, key=lambda pair: pair[0])]


# Numbers


def _numbers(asked: Asked, pack: Pack) -> Iterator[str]:
    """What the asker's readings come to, then the figures of the answer, each with the words around it."""
    yield from (finding.says for finding in asked.reading.findings)
    figure, usual = _figure(tuple(pack.words.units)), _usual(pack)
    seen: set[str] = set()
    for sentence in _sentences(asked.written, ("answer:",)):
        for clause in re.split(r"(?<=[;:])\s+|(?<=[,.])\s+(?=[a-zA-Z])", sentence.lstrip("- ")):
            if set(figure.findall(clause)) - usual and clause not in seen:
                seen.add(clause)
                yield _short(clause, figure)


def _usual(pack: Pack) -> set[str]:
    """The voltages that batteries and packs are called by: a name, not a number to have ready."""
    names = ("battery_voltage", "pack_voltage")
    return {f"{value} V" for name in names if name in pack.facts for value in pack.facts[name].values}


def _figure(units: tuple[str, ...]) -> re.Pattern[str]:
    names = "|".join(sorted(map(re.escape, {*units, "lb·ft", "N·m", "°C", "°F"}), key=len, reverse=True))
    return re.compile(rf"\d[\d.,]* ?(?:{names})(?![\w/])|\b\d+/\d+-\d+\b|\bM\d+x[\d.]+|\d+x[\d.]+-\d+")


def _short(clause: str, figure: re.Pattern[str]) -> str:
    """The clause, cut to the words around its figures."""
    text = clause.strip(" .,;:").removeprefix("If ")
    if len(text) <= _LONG_CLAUSE:
        return text
    found = list(figure.finditer(text))
    start = text.rfind(" ", 0, max(0, found[0].start() - 30)) + 1
    end = text.find(" ", min(len(text), found[-1].end() + 15))
    return f"{'... ' if start else ''}{text[start : end if end > 0 else len(text)]}"

"""The simulated staff: they know the trade, send what is drafted when it is right, write by hand when it is not, and
sometimes get a sentence wrong."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import yaml

from eval.half_year.asking import HERE, Asked
from triage.pack.schema import Answer
from triage.reply.sentences import Block, blocks, sentences

AS_IT_IS = 0.62  # of right drafts
TOUCHED = 0.3  # ... with a sentence changed; the rest is written anew
MINUTES = {"as it is": 1.0, "touched": 3.0, "by hand": 9.0}  # of work; from memory
GREETINGS = {"Wyn": "Hello {name},", "Odile": "Dear {name},", "Tam": "Hi {name}", "Ines": "Good day {name},"}
THANKS = (
    "Thank you for your message.", "Thanks for writing.", "Good question.", "Sorry to hear that.",
    "Glad you asked before you started.", "We see this one now and then.",
)  # fmt: skip
OWN = ("About your {vehicle}:", "For your {year} {model}:", "You say it is a {vehicle}, so here is what I would do.")
CLOSINGS = {
    "Wyn": "Write back with what you find.\n\nKind regards,\nWyn at the workshop",
    "Odile": "Let me know how it goes.\n\nBest wishes,\nOdile",
    "Tam": "Shout if stuck.\n\nTam",
    "Ines": "We are here until five if you would rather ring, 555-0142.\n\nKind regards,\nInes",
}
ASIDES = (
    "Take your time over it.", "Have somebody with you.", "A photo helps us a lot.", "It is less work than it sounds.",
    "Ring us if anything looks odd.",
)  # fmt: skip
SHORTER = (("do not", "don't"), ("cannot", "can't"), ("it is", "it's"), ("that is", "that's"), ("will not", "won't"))


@dataclass(frozen=True, slots=True)
class Wrong:
    """A mistake to be made once: in the answer's text `was` is put as `says`."""

    number: int
    answer: str
    was: str
    says: str
    kind: str


@dataclass(frozen=True, slots=True)
class Written:
    """A reply that was sent."""

    text: str
    by: str
    how: str  # "as it is" | "touched" | "by hand"
    wrong: Wrong | None = None


def mistakes() -> list[Wrong]:
    """The mistakes of the data file, in its order."""
    records = yaml.safe_load((HERE / "wrong.yaml").read_text(encoding="utf-8"))
    return [Wrong(number, r["answer"], r["was"], r["says"], r["kind"]) for number, r in enumerate(records)]


def planted(asked: Sequence[Asked], dice: random.Random) -> dict[int, Wrong]:
    """Question number -> the mistake made in its reply; each mistake once, on a question about its answer."""
    about: dict[str, list[int]] = {}
    for item in asked:
        about.setdefault(item.answer, []).append(item.number)
    result: dict[int, Wrong] = {}
    for wrong in mistakes():
        free = [number for number in about.get(wrong.answer, ()) if number not in result]
        if free:
            result[dice.choice(free)] = wrong
    return result


def reply(
    asked: Asked, draft: str, drafted: bool, truth: Mapping[str, Answer], wrong: Wrong | None, seed: int
) -> Written:
    """What is sent: `draft` where it carries the right answer (`drafted`), else what the person knows."""
    dice = random.Random(f"{seed} {asked.number}")
    by = dice.choices(list(GREETINGS), (5, 3, 2, 1))[0]
    if not asked.answer:
        return Written(_elsewhere(asked, by), by, "by hand")
    if wrong is not None:
        return Written(by_hand(asked, truth[asked.answer], by, dice, wrong), by, "by hand", wrong)
    luck = dice.random()
    if drafted and luck < AS_IT_IS:
        return Written(draft, by, "as it is")
    if drafted and luck < AS_IT_IS + TOUCHED:
        return Written(_touched(draft, dice), by, "touched")
    return Written(by_hand(asked, truth[asked.answer], by, dice), by, "by hand")


def _elsewhere(asked: Asked, by: str) -> str:
    return f"{_greeting(asked, by)}\n\nI have passed this on to the office, who will write to you.\n\n{by}"


def _greeting(asked: Asked, by: str) -> str:
    return GREETINGS[by].format(name=asked.asker.split()[0])


def _touched(draft: str, dice: random.Random) -> str:
    """One sentence more, before the closing lines."""
    parts = draft.split("\n\n")
    return "\n\n".join([*parts[:-1], dice.choice(ASIDES), parts[-1]])


def by_hand(asked: Asked, truth: Answer, by: str, dice: random.Random, wrong: Wrong | None = None) -> str:
    """What a person writes out of their head: most of what is true, in their own manner, with this asker's vehicle."""
    text = " ".join(wrong_text(truth.text, wrong).split(" "))
    kept = [block for block in blocks(text) if _is_kept(block, wrong, dice)]
    body = "\n\n".join(_paragraphs(kept, by, dice))
    opening = [dice.choice(THANKS)]
    if asked.vehicle is not None and dice.random() < 0.6:
        named = f"{asked.year} {asked.vehicle.make} {asked.vehicle.model}"
        opening.append(dice.choice(OWN).format(vehicle=named, year=asked.year, model=asked.vehicle.model))
    return "\n\n".join([_greeting(asked, by), " ".join(opening), body, CLOSINGS[by]])


def wrong_text(text: str, wrong: Wrong | None) -> str:
    """The text with the mistake made in it, where there is one."""
    if wrong is None:
        return text
    joined = "\n\n".join("\n".join(("- " if b.bullet else "") + b.text for b in group) for group in _grouped(text))
    assert wrong.was in joined, f"{wrong.answer} does not say: {wrong.was}"
    return joined.replace(wrong.was, wrong.says)


def _grouped(text: str) -> list[list[Block]]:
    groups: dict[int, list[Block]] = {}
    for block in blocks(text):
        groups.setdefault(block.paragraph, []).append(block)
    return list(groups.values())


def _is_kept(block: Block, wrong: Wrong | None, dice: random.Random) -> bool:
    """People leave out what they forget; the sentence they got wrong is one they said."""
    said_wrong = wrong is not None and wrong.says in block.text
    return dice.random() < 0.85 or said_wrong


def _paragraphs(kept: Sequence[Block], by: str, dice: random.Random) -> list[str]:
    """Tam and Ines write without lists; all but Odile write short forms."""
    result: list[str] = []
    for block in kept:
        text = " ".join(sentences(block.text))
        for long, short in SHORTER if by != "Odile" and dice.random() < 0.7 else ():
            text = text.replace(long, short)
        listed = block.bullet and by in ("Wyn", "Odile")
        if listed and result and result[-1].startswith("- "):
            result[-1] += f"\n- {text}"
        else:
            result.append(f"- {text}" if listed else text)
    return result

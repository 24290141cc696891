"""The reply as blocks that can be edited, each with where it came from; and back from what was typed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from triage.bench.views.wording import label
from triage.model import Draft, Sentence
from triage.pack import Pack
from triage.reply.readability import reading_ease
from triage.reply.sentences import sentences

REWORDED = "reworded:"
WIDTH = 78  # characters a line, to guess the height of a field before the browser has measured it
_BULLET = re.compile(r"^\s*(?:[-*•]|\d+[.)])\s+")
_BLANK = re.compile(r"\n[ \t]*\n")


@dataclass(frozen=True, slots=True)
class Block:
    """Sentences that stand together and come from one place."""

    source: str
    sentences: tuple[Sentence, ...]
    opens: bool  # it begins a paragraph

    @property
    def text(self) -> str:
        """Its words, as they are edited."""
        return " ".join(sentence.text for sentence in self.sentences)

    @property
    def rows(self) -> int:
        """Lines it takes."""
        return sum(1 + len(line) // WIDTH for line in self.text.split("\n"))

    @property
    def hazard(self) -> str:
        """Id of the hazard whose note it is; "" for none."""
        return hazard_of(self.source)


def hazard_of(source: str) -> str:
    """The hazard whose note a sentence of this source is, reworded or not.

    >>> hazard_of("reworded:hazard:acid"), hazard_of("answer:acid")
    ('acid', '')
    """
    bare = source.removeprefix(REWORDED)
    return bare.removeprefix("hazard:") if bare.startswith("hazard:") else ""


def blocks_of(draft: Draft) -> tuple[Block, ...]:
    """The draft cut where source or paragraph change, and at each bullet."""
    numbers = list(_block_numbers(draft.sentences))
    pairs = zip(numbers, draft.sentences, strict=True)
    groups = [tuple(s for _, s in group) for _, group in groupby(pairs, key=lambda pair: pair[0])]
    before = [None, *(group[-1].paragraph for group in groups)]
    return tuple(Block(_source(g), g, g[0].paragraph != last) for g, last in zip(groups, before, strict=False))


def bare(source: str) -> str:
    """Where a sentence came from, whether it was reworded since or not."""
    return source.removeprefix(REWORDED)


def _source(group: Sequence[Sentence]) -> str:
    return next((s.source for s in group if s.source.startswith(REWORDED)), group[0].source)


def _block_numbers(all_sentences: Sequence[Sentence]) -> Iterator[int]:
    number, before = 0, None
    for sentence in all_sentences:
        same = before and (bare(before.source), before.paragraph) == (bare(sentence.source), sentence.paragraph)
        number += not same or sentence.bullet
        before = sentence
        yield number


@dataclass(frozen=True, slots=True)
class Typed:
    """A block as it came back from the browser."""

    text: str
    source: str
    opens: bool = True


def edited(draft: Draft, typed: Sequence[Typed], subject: str) -> Draft:
    """The draft as typed: what was not touched keeps its sentences, an empty block goes."""
    own = blocks_of(draft)
    untouched = {(block.source, block.text.strip()): block for block in own}
    parts: list[tuple[bool, list[Sentence]]] = []
    for number, block in enumerate(typed):
        text = _unix(block.text)
        same = untouched.get((block.source, text))
        before = own[number] if number < len(own) and own[number].source == block.source else None
        parts += [(block.opens, list(same.sentences))] if same else _retyped(text, block, before)
    whole = Draft(" ".join(subject.split()) or draft.subject, tuple(_placed(parts)))
    return replace(whole, reading_ease=reading_ease(whole.body))


def _unix(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n").strip()


def _retyped(text: str, block: Typed, before: Block | None) -> Iterator[tuple[bool, list[Sentence]]]:
    """(begins a paragraph, sentences) of each paragraph or bullet typed into a block."""
    said = {sentence.text: sentence.source for sentence in before.sentences} if before else {}
    for number, paragraph in enumerate(part.strip() for part in _BLANK.split(text) if part.strip()):
        for line, (bullet, words) in enumerate(_lines(paragraph)):
            made = [
                Sentence(word, said.get(word) or _reworded(block.source), 0, bullet and n == 0)
                for n, word in enumerate(words)
            ]
            yield line == 0 and (number > 0 or block.opens), made


def _reworded(source: str) -> str:
    own = source.startswith((REWORDED, "written:"))
    return source if own else REWORDED + source


def _lines(paragraph: str) -> Iterator[tuple[bool, tuple[str, ...]]]:
    """(is a bullet, sentences): bulleted lines one by one, a text with line ends of its own as it is."""
    lines = paragraph.split("\n")
    if any(_BULLET.match(line) for line in lines):
        yield from ((bool(_BULLET.match(line)), (line.strip(),)) for line in lines if line.strip())
    elif len(lines) > 1 and not all(len(line) > WIDTH // 2 for line in lines[:-1]):
        yield False, (paragraph,)
    else:
        yield False, sentences(" ".join(lines))


def _placed(parts: Iterable[tuple[bool, list[Sentence]]]) -> Iterator[Sentence]:
    paragraph = -1
    for opens, made in parts:
        paragraph += opens or paragraph < 0
        yield from (replace(sentence, paragraph=paragraph) for sentence in made)


def dropped_notes(before: Draft, after: Draft) -> tuple[str, ...]:
    """Hazards whose note the one draft carries and the other does not."""
    kept = {hazard_of(sentence.source) for sentence in after.sentences}
    return tuple(dict.fromkeys(h for s in before.sentences if (h := hazard_of(s.source)) and h not in kept))


def where_from(source: str, pack: Pack) -> str:
    """Where a block came from, in words."""
    if source.startswith(REWORDED):
        return f"reworded; it was {where_from(source.removeprefix(REWORDED), pack)}"
    kind, _, name = source.partition(":")
    titles = {answer.id: answer.title for answer in pack.answers}
    said: Mapping[str, str] = {
        "answer": f"the answer “{titles.get(name, name)}”",
        "check": f"the check “{label(pack.checks, name)}”",
        "hazard": f"the safety note on {label(pack.hazards, name)}",
        "gap": f"asked because {label(pack.facts, name)} is not known",
        "conflict": f"told because facts do not fit together ({name.replace('_', ' ')})",
        "finding": f"worked out from the asker’s readings ({name.replace('_', ' ')})",
        "wording": f"the shop’s fixed wording “{name.replace('_', ' ')}”",
        "sheet": f"the worksheet {name}",
        "written": f"written by {name}",
    }
    return said.get(kind, source)

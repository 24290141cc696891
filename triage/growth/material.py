"""What an answered question brings: the asker's words and facts, what was drafted, and what really went out."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from triage.growth.proposal import Origin, Said
from triage.growth.wordlists import WordLists, stems_of
from triage.model import Draft, Fact, Span
from triage.reply.sentences import blocks, sentences

SAME = 0.92  # ratio of two sentences' words from which one is the other
FEWEST_WORDS = 4  # a shorter sentence tells nothing by itself
_OURS = ("answer:", "check:")  # sources whose sentences are knowledge; the rest of a draft is for this asker only
_SPLIT = re.compile(r"\w+")
_LEAD = re.compile(r"\s*([^\n,:!?]{2,40})[,!]\s+")  # what a greeting in the first sentence may be


@dataclass(frozen=True, slots=True)
class Sent:
    """One thing that was sent, told or said."""

    origin: Origin
    text: str
    by: str
    place: str  # "reply 2"


@dataclass(frozen=True, slots=True)
class Material:
    """One answered question. `facts` are those that hold of the asker's vehicle, by name."""

    thread: int
    asker: str
    question: str
    message: str  # id of the message it was asked in
    facts: Mapping[str, Fact]
    sent: tuple[Sent, ...]
    draft: Draft = field(default_factory=lambda: Draft(""))
    offered: tuple[tuple[str, float], ...] = ()  # answers as they were ranked, with their probability
    symptoms: tuple[str, ...] = ()
    readings: tuple[tuple[float, str], ...] = ()  # what the asker measured: value, unit
    hazards: tuple[str, ...] = ()  # of the notes that went out
    intent: str = ""
    on: date = date.min
    helped: bool | None = None  # None: not known
    names: tuple[str, ...] = field(default=(), repr=False)  # of persons, to be taken out
    numbers: tuple[str, ...] = field(default=(), repr=False)  # of this asker's vehicle or order

    @property
    def carried(self) -> str:
        """The answer whose sentences the draft carries; "" for none."""
        sources = (sentence.source for sentence in self.draft.sentences)
        return next((source.partition(":")[2] for source in sources if source.startswith("answer:")), "")


@dataclass(frozen=True, slots=True)
class Piece:
    """One sentence of what was sent; `source` is that of the draft's sentence it repeats, "" when a person wrote it."""

    said: Said
    by: str
    source: str = ""
    bullet: bool = False

    @property
    def text(self) -> str:
        """The words as they went out."""
        return self.said.text


def pieces(material: Material, lists: WordLists) -> tuple[Piece, ...]:
    """The sentences that went out and are about the matter: no greeting, no closing, nothing drafted for this asker."""
    drafted = {_folded(_unmarked(sentence.text)): sentence.source for sentence in material.draft.sentences}
    starts = ((sent, _after_greeting(sent.text, lists)) for sent in material.sent)
    every = (piece for sent, at in starts for piece in _cut(sent, at, material.thread, drafted))
    return tuple(piece for piece in every if _matters(piece, lists))


def _after_greeting(text: str, lists: WordLists) -> int:
    """Where the matter begins, as "Hello Joan, the gap is 0.76 mm." greets and answers in one sentence."""
    lead = _LEAD.match(text)
    return lead.end() if lead and is_aside(stems_of(lead[1]), lists) else 0


def _cut(sent: Sent, at: int, thread: int, drafted: Mapping[str, str]) -> Iterator[Piece]:
    for block in blocks(sent.text[at:]):
        whole = drafted.get(_folded(block.text))
        for text in (block.text,) if whole else sentences(block.text):
            span = _find(sent.text, text, at)
            at = span.end if span else at
            said = Said(sent.origin, text, thread, sent.place, span)
            yield Piece(said, sent.by, whole or _source(_folded(text), drafted), block.bullet)


def _source(words: str, drafted: Mapping[str, str]) -> str:
    """Where a sentence of a draft came from; a heading that runs on into its first sentence counts as that one."""
    while words and words not in drafted:
        lead = max((key for key in drafted if key and words.startswith(f"{key} ")), key=len, default="")
        if not lead:
            return ""
        words = words[len(lead) + 1 :]
    return drafted.get(words, "")


def _find(whole: str, part: str, start: int) -> Span | None:
    """Where a sentence stands, however its lines were wrapped."""
    pattern = r"\s+".join(map(re.escape, part.split()))
    found = re.compile(pattern).search(whole, start)
    return Span(found.start(), found.end()) if found else None


def _matters(piece: Piece, lists: WordLists) -> bool:
    if piece.source:
        return piece.source.startswith(_OURS)
    words = stems_of(piece.text)
    return len(words) >= FEWEST_WORDS and not is_aside(words, lists)


def is_aside(words: Sequence[str], lists: WordLists) -> bool:
    """Folded words of a sentence that is not about the matter: a greeting, thanks, an order."""
    return any(_begins_or_holds(words, aside) for aside in lists.asides)


def _begins_or_holds(words: Sequence[str], aside: Sequence[str]) -> bool:
    """A single word counts at the beginning ("thanks"); a phrase counts anywhere."""
    places = range(len(words) - len(aside) + 1) if len(aside) > 1 else range(min(1, len(words)))
    return any(tuple(words[i : i + len(aside)]) == tuple(aside) for i in places)


def likeness(one: str, other: str) -> float:
    """How far two sentences are the same words in the same order, 0..1.

    >>> likeness("Charge it first.", "Charge it fully first.") > 0.8
    True
    """
    return difflib.SequenceMatcher(None, _words(one), _words(other), autojunk=False).ratio()


def nearest(text: str, others: Iterable[str]) -> tuple[float, str]:
    """The most alike of some sentences, with its likeness; (0, "") of none."""
    return max(((likeness(text, other), other) for other in others), default=(0.0, ""))


def _words(text: str) -> list[str]:
    return _SPLIT.findall(text.casefold())


def _folded(text: str) -> str:
    return " ".join(_words(text))


def _unmarked(text: str) -> str:
    return " ".join(block.text for block in blocks(text))

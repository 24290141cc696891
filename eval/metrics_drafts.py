"""Drafts: is every sentence where it says it is from, how easily do they read, and how long are they?"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from eval.cases import Case
from eval.counts import Share
from triage.model import Reading, Sentence
from triage.pack import Pack
from triage.reply.wording import Phrasebook

_MARKS = re.compile(r"^(?:- |\d+\. |[A-Z]+: )")
_WORD_FOR_WORD = ("answer", "check", "hazard", "gap")


@dataclass(frozen=True, slots=True)
class Traced:
    """A draft's sentences that could not be found where they say they are from."""

    sentences: int
    lost: tuple[Sentence, ...]


def traced(reading: Reading, pack: Pack, book: Phrasebook) -> Traced:
    """Look every sentence up: word for word in its answer, check, hazard or gap, else by the name of its source."""
    texts = {key: _plain(book.spelled(text)) for key, text in _texts(reading, pack).items()}
    every = reading.draft.sentences
    return Traced(len(every), tuple(sentence for sentence in every if not _found(sentence, texts)))


def _texts(reading: Reading, pack: Pack) -> Mapping[str, str]:
    """What each source that the reading or the pack has says."""
    return {
        **{f"answer:{answer.id}": answer.text for answer in pack.answers},
        **{f"check:{check.id}": check.text for check in pack.checks.values()},
        **{f"hazard:{note.hazard}": f"{note.note} {note.short}" for note in reading.hazards},
        **{f"gap:{gap.fact}": f"{gap.ask} ({gap.find_out})" for gap in reading.gaps},
        **{f"conflict:{conflict.id}": conflict.says for conflict in reading.conflicts},
        **{f"finding:{finding.id}": finding.says for finding in reading.findings},
        **{f"wording:{key}": "" for key in pack.wording.phrases},
    }


def _found(sentence: Sentence, texts: Mapping[str, str]) -> bool:
    if sentence.source not in texts:
        return False
    if sentence.source.partition(":")[0] not in _WORD_FOR_WORD:
        return True
    return _plain(_MARKS.sub("", sentence.text)) in texts[sentence.source]


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()


def untraceable(found: Sequence[Traced]) -> Share:
    """Share of all sentences that could not be traced."""
    return Share(sum(len(item.lost) for item in found), sum(item.sentences for item in found))


def words(case: Case) -> int:
    """Words of the draft."""
    return len(case.reading.draft.body.split())


def middle_words(cases: Sequence[Case]) -> float | None:
    """Median words of a draft; None without drafts."""
    return float(median(words(case) for case in cases)) if cases else None


def middle_ease(cases: Sequence[Case]) -> float | None:
    """Median Flesch reading ease; None without drafts."""
    eases = [case.reading.draft.reading_ease for case in cases]
    known = [ease for ease in eases if ease is not None]
    return float(median(known)) if known else None

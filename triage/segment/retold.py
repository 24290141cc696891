"""A question retold in one clean sentence made from its facts, and the asker's own words, shortened."""

from __future__ import annotations

import re
from itertools import groupby

from triage.language.private import without_particulars
from triage.language.tokens import tokenise
from triage.segment.asked import Asked, Week
from triage.segment.matter import likely_answer
from triage.segment.programme import WHO

MOST_WORDS = 60  # of the asker's own
MOST_ASKED = 30  # words; a longer sentence is no clean question
FEWEST_WORDS = 6
_POINTING = frozenset("one ones other others that those these this they them he she his her him and or but".split())
_FORM_LINE = re.compile(r"^[A-Z][\w /]{1,24}: .{0,60}$", re.MULTILINE)  # "Make: Luddon", as web forms write


def retold(asked: Asked, week: Week) -> str:
    """The question in one sentence, told of WHO."""
    asks = _asks(asked, week)
    cart = asked.cart or week.phrase("hour_some_cart")
    if asked.trouble:
        key = "hour_has_trouble"
    elif asks:
        key = "hour_has_asks" if asked.cart else "hour_asks"
    else:
        key = "hour_has_cart"
    return week.phrase(key, who=WHO, cart=cart, trouble=asked.trouble, question=asks)


def _asks(asked: Asked, week: Week) -> str:
    """What is asked, as one question."""
    text, answer = public(asked.text, asked), likely_answer(asked.reading, week.pack)
    own = [line for line in sentences_of(text) if line.endswith("?") and stands_alone(line)]
    if own:
        return tidy(max(own, key=len))
    if answer:
        return answer.question
    return tidy(text) if FEWEST_WORDS <= len(text.split()) <= MOST_ASKED else ""


def stands_alone(line: str) -> bool:
    """True for a question that is understood without what was written before it.

    >>> stands_alone("Can I leave it plugged in all winter?"), stands_alone("Does one come off when the other goes on?")
    (True, False)
    """
    words = [word.strip(".,?!'\"").lower() for word in line.split()]
    return FEWEST_WORDS <= len(words) <= MOST_ASKED and _POINTING.isdisjoint(words)


def tidy(line: str) -> str:
    """A line as one writes it: a capital to begin with, "I" for "i", one mark at the end.

    >>> tidy("can i go from 36 to 48??")
    'Can I go from 36 to 48?'
    """
    line = re.sub(r"\bi\b(?!\.)", "I", re.sub(r"([?!.])[?!.]+$", r"\1", line.strip()))
    return line[:1].upper() + line[1:]


def public(text: str, asked: Asked) -> str:
    """The text without the asker's particulars and without lines of a form."""
    bare = _FORM_LINE.sub("", text)
    return " ".join(without_particulars(bare, asked.people).split())


def own_words(asked: Asked) -> str:
    """What the asker wrote, particulars out: the first sentences, and what they ask at the end."""
    lines = sentences_of(public(asked.text, asked))
    kept: list[str] = []
    for line in lines:
        if kept and sum(len(one.split()) for one in (*kept, line)) > MOST_WORDS:
            break
        kept.append(line)
    rest = lines[len(kept) :]
    asking = next((line for line in rest if line.endswith("?")), "")
    return " ".join([*kept, *(["..."] if rest else []), *([asking] if asking else [])])


def sentences_of(text: str) -> list[str]:
    """The sentences of a text, each with its mark.

    >>> sentences_of("It clicks. What now? The plate says 12.7 V")
    ['It clicks.', 'What now?', 'The plate says 12.7 V']
    """
    groups = [list(group) for _, group in groupby(tokenise(text), key=lambda token: token.sentence)]
    starts = [group[0].start for group in groups]
    ends = [*starts[1:], len(text)]
    return [text[start:end].strip() for start, end in zip(starts, ends, strict=True)]

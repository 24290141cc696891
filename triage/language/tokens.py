"""Cut text into tokens, clauses and sentences, with exact offsets into the text as given."""

from __future__ import annotations

import re
from dataclasses import dataclass

from triage.language.stem import stem

_TOKEN = re.compile(
    r"(?P<year>['’‘`]\d\d\b)"
    r"|(?P<number>\d{1,3}(?:,\d{3})+(?![\d])|\d+\.\d+|(?<!\d,)\d{1,3},\d{1,2}(?!\d|,\d)|\d+|(?<![\w.])\.\d+)"
    r"|(?P<word>[^\W\d_]+(?:['’‘`][^\W\d_]+)*)"
    r"|(?P<mark>\S)"
)
_APOSTROPHES = str.maketrans("", "", "'’‘`")
_SENTENCE_END = frozenset(".!?;")
_LABEL = re.compile(r"[ \t]*(?:[-*•·]|\d{1,2}[.)]\s|[A-Za-z][\w ]{0,24}:)")
_CLAUSE_WORDS = frozenset({"but", "so", "because", "though", "although", "however", "while", "then", "and", "except"})
_SHORT_FORM = re.compile(
    r"\d ?(?:in|ft|hr|hrs|min|mins|lb|lbs|amp|amps|approx|yr|yrs)\. [a-z]"
    r"|\d ?(?:IN|FT|HR|HRS|MIN|LB|LBS)\. (?:[A-Z]{2,}|[a-z])"
)
MAX_TOKENS = 20_000  # a longer text is read up to here; the tail stays in the message


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number or mark. `norm` is lower case without apostrophes; `stem` folds inflections."""

    text: str
    norm: str
    stem: str
    start: int
    end: int
    kind: str  # "word" | "number" | "year" | "mark"
    sentence: int
    clause: int

    @property
    def is_word(self) -> bool:
        return self.kind == "word"


def tokenise(text: str, mend: dict[str, str] | None = None) -> tuple[Token, ...]:
    """Tokens in order; hyphens between letters are left out, so that "tie-rod" reads as "tie rod".

    `mend` maps a wrong word (lower case) to the right one; offsets stay those of the word as typed.
    """
    tokens: list[Token] = []
    sentence = clause = 0
    previous_end = 0
    for match in _TOKEN.finditer(text):
        if len(tokens) >= MAX_TOKENS:
            break
        if tokens and _is_new_line(text, previous_end, match.start()):
            sentence, clause = sentence + 1, clause + 1
        previous_end = match.end()
        kind, raw = match.lastgroup or "mark", match.group()
        if kind == "mark" and _is_joint(text, match.start(), raw):
            continue
        norm = raw.lower().translate(_APOSTROPHES) if kind == "word" else raw
        if mend and kind == "word":
            norm = mend.get(norm, norm)
        if kind == "word" and norm in _CLAUSE_WORDS:
            clause += 1
        tokens.append(
            Token(
                raw,
                norm,
                stem(norm) if kind == "word" else norm,
                match.start(),
                match.end(),
                kind,
                sentence,
                clause,
            )
        )
        if kind == "mark":
            sentence, clause = _after_mark(text, match.end(), raw, sentence, clause)
    return tuple(tokens)


def _is_joint(text: str, start: int, mark: str) -> bool:
    return mark == "-" and 0 < start < len(text) - 1 and text[start - 1].isalpha() and text[start + 1].isalpha()


def _after_mark(text: str, end: int, mark: str, sentence: int, clause: int) -> tuple[int, int]:
    if mark in _SENTENCE_END and _ends_sentence(text, end):
        return sentence + 1, clause + 1
    if mark in ",:()–—":
        return sentence, clause + 1
    return sentence, clause


def _ends_sentence(text: str, end: int) -> bool:
    """A full stop with nothing glued to it; or a word, a stop and a capital or a figure: "48V.No lift.22 inch"."""
    if end >= len(text) or not text[end].isalnum():
        # the last stop of several ends it; a short form before a small letter does not: "a 3 in. lift"
        return text[end : end + 1] != "." and not _SHORT_FORM.search(text, max(0, end - 12), end + 2)
    after_word = end >= 3 and text[end - 3 : end - 1].isalpha() and text[end - 3 : end - 1].lower() != "no"
    after_unit = end >= 3 and text[end - 2].isalpha() and text[end - 3].isdigit()
    starts = text[end].isdigit() or (text[end].isupper() and text[end - 2].isalpha())
    return starts and (after_word or after_unit)


def _is_new_line(text: str, end: int, start: int) -> bool:
    """A line break that ends a sentence: blank line, bullet or label, or a short line (not a wrapped one)."""
    gap = text[end:start]
    if "\n" not in gap:
        return False
    if gap.count("\n") > 1 or _LABEL.match(text, text.rfind("\n", 0, start) + 1):
        return True
    line_start = text.rfind("\n", 0, end) + 1
    return end - line_start < 45

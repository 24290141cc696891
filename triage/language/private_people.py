"""Names of people: those we know, those a word announces, and those that are given names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from triage.language import private_cues as cues
from triage.language.private_found import Found, Kind, Particulars, found
from triage.language.private_words import (
    ANY,
    ORDINARY,
    also,
    bare,
    known_words,
    names,
    shouts,
    starts,
    stays,
    unowned,
    with_capital,
)

SOMEBODY = "someone"
_ANNOUNCED: tuple[tuple[re.Pattern[str], str], ...] = (
    (cues.OPENING, ""), (cues.RELATED, ""), (cues.STRONG, SOMEBODY), (cues.SELF, "a reader"), (cues.SAYS, SOMEBODY),
    (cues.INITIALED, SOMEBODY), (cues.PAIR, SOMEBODY), (cues.ALONE, SOMEBODY), (cues.LAST_WORD, ""),
    (cues.HERE, "a reader"), (cues.SIGNED, ""), (cues.DASHED, ""), (cues.LAST_LINE, ""),
)  # fmt: skip
_TAKES_ANY = re.compile(r"(?i)^(?:my(?: full| first| last)? )?name")  # what follows is a name, however it is typed


def find(text: str, known: Particulars) -> Iterator[Found]:
    """Every name of a person; a name of the asker is "a reader", others are "someone", a greeting has none."""
    yield from _known(text, known)
    told = [*_announced(text, known), *_titled(text, known), *_given(text, known)]
    yield from told
    yield from _again(text, told, known)


def _announced(text: str, known: Particulars) -> Iterator[Found]:
    for pattern, instead in _ANNOUNCED:
        for match in pattern.finditer(text):
            if _is_name(match, text, known, pattern):
                start, end = _name_span(match, known)
                yield found(Kind.NAME, start, start + len(unowned(text[start:end])), instead)


def _again(text: str, told: Iterable[Found], known: Particulars) -> Iterator[Found]:
    """The same names elsewhere in the text, where no word announces them."""
    words = {
        word for one in told for word in ANY.findall(text[one.start : one.end]) if len(word) > 2 and word[0].isupper()
    }
    listed = {low for low in map(bare, words) if not stays(low, known) and low not in also()}
    for match in ANY.finditer(text) if listed else ():
        if match[0][0].isupper() and bare(match[0]) in listed:
            yield found(Kind.NAME, match.start(), match.start() + len(unowned(match[0])), SOMEBODY)


def _is_name(match: re.Match[str], text: str, known: Particulars, pattern: re.Pattern[str]) -> bool:
    word = match["word"]
    low = bare(word)
    if pattern is cues.HERE and " " in match["name"]:
        return bare(match["name"].split()[-1]) not in ORDINARY | known.keep | known.usual
    if stays(low, known):
        return False
    if low in names() or low in known_words(known):
        return True
    if pattern is cues.SELF:
        return word[0].isupper() and (low in also() or _has_surname(match, known)) and not shouts(text)
    if low in with_capital() and word[0].isupper():
        return True
    if pattern in (cues.ALONE, cues.LAST_WORD):
        return _is_unusual(word, known) and not shouts(text)
    if pattern is cues.PAIR:
        return _has_surname(match, known) and not shouts(text)
    if pattern is cues.SIGNED:
        return _is_signature(match, known)
    if pattern is cues.STRONG and _TAKES_ANY.match(match["cue"]):
        return low not in ("someone", "me")
    if pattern is cues.OPENING and low in also() and re.match(r"[,!:\n]|$", text[match.end("word") :]):
        return True
    return word[0].isupper() and not shouts(text)


def _is_signature(match: re.Match[str], known: Particulars) -> bool:
    """True when no word below the closing is an ordinary one: "thanks\\ngaz", but not "Thanks, works now"."""
    words = [bare(word) for word in ANY.findall(match["name"])]
    apart = "\n" in match["name"] or "," in match["name"]
    plain = len(words) <= 3 and not any(stays(word, known) for word in words if word != "and")
    return plain and (
        apart or match["word"][0].isupper() or (not match.string[match.end() :].strip() and len(words) == 1)
    )


def _is_unusual(word: str, known: Particulars) -> bool:
    """A word with a capital that the trade and its texts do not have; where we know none of those, no word is."""
    low = bare(word)
    if not known.usual or len(low) < 3 or not word.istitle():
        return False
    return not {low, low.removesuffix("s")} & (known.usual | known.keep) and not (
        low[1] in "-'’" or stays(low[:-1], known)
    )


def _has_surname(match: re.Match[str], known: Particulars) -> bool:
    words = ANY.findall(match["name"])
    return len(words) > 1 and all(word[0].isupper() and not stays(bare(word), known) for word in words)


def _name_span(match: re.Match[str], known: Particulars) -> tuple[int, int]:
    """The name up to the first word that belongs to the trade or the language."""
    start, end = match.span("name")
    for word in ANY.finditer(match.string, match.end("word"), end):
        joins = bare(word[0]) in ("and", "or")
        if not joins and stays(bare(word[0]), known):
            return start, match.start("word") + len(match.string[match.start("word") : word.start()].rstrip(" ,/&"))
    return start, end


def _titled(text: str, known: Particulars) -> Iterator[Found]:
    for match in cues.TITLED.finditer(text):
        word = match["word"] or match["low"]
        if not stays(bare(word), known):
            yield found(Kind.NAME, *match.span(), SOMEBODY)


def _known(text: str, known: Particulars) -> Iterator[Found]:
    """Names we know, whole in any writing; a part of one where it is a name to the eye."""
    for name in known.names:
        for match in re.finditer(rf"(?i)(?<!\w){re.escape(name)}(?!\w)", text):
            yield found(Kind.NAME, *match.span())
    parts = known_words(known)
    for match in ANY.finditer(text):
        low = bare(match[0])
        if low in parts and not stays(low, known) and _looks_like_name(match, text):
            yield found(Kind.NAME, match.start(), match.start() + len(unowned(match[0])))


def _looks_like_name(match: re.Match[str], text: str) -> bool:
    low = bare(match[0])
    return (
        low in names()
        or (low not in also() and len(low) > 3)
        or (match[0][0].isupper() and not starts(text, match.start()))
    )


def _given(text: str, known: Particulars) -> Iterator[Found]:
    """Given names in the running text, with the surname behind them."""
    shouted = shouts(text)
    for word in ANY.finditer(text):
        more = cues.SURNAME.match(text, word.end())
        named = more is not None and not stays(bare(ANY.findall(more[0])[-1]), known)
        if _is_given(word, named, text, known, shouted):
            stretch = text[word.start() : more.end() if more and named else word.end()]
            yield found(Kind.NAME, word.start(), word.start() + len(unowned(stretch)), SOMEBODY)


def _is_given(word: re.Match[str], named: bool, text: str, known: Particulars, shouted: bool) -> bool:
    low, capital = bare(word[0]), word[0][0].isupper()
    if stays(low, known) or text[max(0, word.start() - 1) : word.start()] in ("@", "."):
        return False
    if low in names():
        return capital or len(low) > 3
    if not capital or shouted or not (low in also() or low in with_capital()):
        return bool(capital and not shouted and _is_unusual(word[0], known) and cues.ACTS.match(text, word.end()))
    return not starts(text, word.start()) or named or bool(cues.FOLLOWED.match(text, word.end()))

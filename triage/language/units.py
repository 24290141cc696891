"""Units of measure as people write them, from the pack."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from triage.language.tokens import Token, tokenise

MAX_UNIT_WORDS = 4
_GLUED_ONLY = frozenset(
    {"a", "h", "w", "s", "k", "c", "f", "m"}
)  # letters that are a unit only when stuck to the number
_RATED = frozenset("controller stock continuous bms peak charger fuse shunt supply motor".split())
_IN_FOLLOWERS = frozenset(
    (
        "the a my this that it total all series each our their your order one any and winter summer spring autumn "
        "his her town here there case place front back good bad most every both some which what parallel use it"
    ).split()
)


class Units:
    """Finds the unit written after a number."""

    def __init__(self, units: Mapping[str, Sequence[str]]) -> None:
        self._by_words: dict[tuple[str, ...], str] = {}
        for symbol, spellings in units.items():
            for spelling in spellings:
                self._by_words[tuple(token.norm.lower() for token in tokenise(spelling))] = symbol

    def at(self, tokens: Sequence[Token], index: int) -> tuple[str, int]:
        """The unit written at this token and the index after it; ("", index) when there is none."""
        if index >= len(tokens) or (index and tokens[index].sentence != tokens[index - 1].sentence):
            return "", index
        words = [token.norm.lower() for token in tokens[index : index + MAX_UNIT_WORDS]]
        for length in range(len(words), 0, -1):
            symbol = self._by_words.get(tuple(words[:length]))
            if symbol and _is_unit(tokens, index, length):
                return symbol, index + length
        return "", index


def _is_unit(tokens: Sequence[Token], index: int, length: int) -> bool:
    word = tokens[index].norm.lower()
    if length > 1 or index == 0:
        return index > 0
    glued = tokens[index - 1].end == tokens[index].start
    if word in _GLUED_ONLY:
        return glued or _is_capital_unit(tokens, index)
    return word != "in" or glued or _is_inches(tokens, index)


def _is_inches(tokens: Sequence[Token], index: int) -> bool:
    """ "22 in tyres" and "6 in." are inches; "36 in the shed" is not."""
    following = tokens[index + 1] if index + 1 < len(tokens) else None
    if following is None or following.kind != "word":
        return True
    return following.norm not in _IN_FOLLOWERS


def _is_rated(tokens: Sequence[Token], index: int) -> bool:
    """ "a 350 a controller", "of 250 a continuous": amperes of the size of a controller's, and no "200 a day"."""
    number = tokens[index - 1]
    following = tokens[index + 1].norm if index + 1 < len(tokens) else ""
    usual = number.kind == "number" and number.text.isdecimal() and len(number.text) == 3 and number.text[-1] in "05"
    return usual and following in _RATED


def _is_capital_unit(tokens: Sequence[Token], index: int) -> bool:
    """ "350 A." and "a 350 A controller" are amperes, "350 A DAY" is not; "minus 20 C" is a temperature."""
    following = tokens[index + 1] if index + 1 < len(tokens) else None
    ends = following is None or following.kind == "mark" or not following.text.isupper()
    degrees = tokens[index].text in ("C", "F") and index > 1 and tokens[index - 2].norm in ("-", "−", "minus")
    rated = tokens[index].norm == "a" and _is_rated(tokens, index)
    return degrees or rated or (tokens[index].text in ("A", "W") and ends)

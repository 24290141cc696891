"""Other people in a text: whose vehicle a stretch is about, and who says so."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence

from triage.language.cues import Cue, CueIndex
from triage.language.tokens import Token

OURS = frozenset({"my", "our", "mine", "ours"})
_VOCATIVE = frozenset({"hello", "hi", "dear", "hey", "thanks", "cheers", "sorry", "yes", "ok"})
_SELLING = frozenset({"off", "from", "by"})
_SAYING = frozenset("says said say thinks thought reckons told tells swears believes claims guesses insists".split())
_DOING_REACH = 6  # words from a person to what they did
_THEIRS = frozenset({"his", "her", "hers", "their", "theirs"})
_GOING_ON = frozenset({"his", "hers", "theirs", "that", "it", "he", "she", "they"})
_PERSONAL = frozenset({"his", "hers", "theirs"})  # of the other person, whatever was told of them
_HAVING = frozenset("has have had got owns own runs drives bought cart buggy vehicle machine one".split())
_PRONOUNS_BETWEEN = 6  # "his ..." after the person was named
_SAYING_REACH = 4  # words from a person to "says"


class Persons:
    """The stretches about another person's or a former vehicle."""

    def __init__(self, tokens: Sequence[Token], cues: CueIndex) -> None:
        self._tokens = tokens
        self._cues = cues
        self._openings = _sentence_openings(tokens)
        self._others = [cue for cue in cues.of_kind("other") if not self._is_vocative(cue)]
        self._starts = [cue.first for cue in self._others]
        foreign = {i for cue in cues.of_kind("other") for i in range(cue.first, cue.last)}
        self._turns = [i for i, token in enumerate(tokens) if token.norm in OURS and i not in foreign]

    def named_before(self, first: int) -> bool:
        """ "had a ...", "off a ...": the vehicle named right after is another's or a former one."""
        return any(self._same_sentence(cue.first, first) for cue in self._cues.ending("other_near", first, 3))

    def other(self, first: int, end: int) -> bool:
        """True when tokens first..end (half open) are about such a vehicle."""
        after = self._cues.starting("other_after", end, 2)
        if any(self._same_sentence(cue.first, first) and self._is_as_listed(cue) for cue in after):
            return True
        if self._is_possessed(first, end):
            return True
        cue = self._last_other(first)
        if cue is None or self._turns_back(cue, first) or self._does_it_here(cue, first):
            return False
        return self._same_sentence(cue.first, first) or self._continues_other(cue, first)

    def _is_as_listed(self, cue: Cue) -> bool:
        """ "on hers" is another's; "put tyres on her" is the cart."""
        return self._tokens[cue.last - 1].norm == cue.phrase.split()[-1]

    def named_at(self, first: int) -> int:
        """The token at which the last other person before was named; -1 when none was."""
        position = bisect_right(self._starts, first)
        near = self._others[max(0, position - _PRONOUNS_BETWEEN) : position]
        named = (cue for cue in reversed(near) if self._tokens[cue.first].norm not in _THEIRS)
        return next((cue.first for cue in named), -1)

    def _is_possessed(self, first: int, end: int) -> bool:
        """ "the old NAME of my cousin"."""
        of = end < len(self._tokens) and self._tokens[end].norm == "of" and self._same_sentence(end, first)
        return of and any(True for _ in self._cues.starting("other", end + 1, 0))

    def _last_other(self, first: int) -> Cue | None:
        position = bisect_right(self._starts, first)
        return self._others[position - 1] if position else None

    def _does_it_here(self, cue: Cue, first: int) -> bool:
        """ "my uncle put a lift on": another person, the asker's vehicle."""
        deeds = self._cues.starting("doing", cue.last, min(_DOING_REACH, first - cue.last))
        does = any(self._tokens[cue.last].clause == self._tokens[deed.first].clause for deed in deeds)
        nearby = {token.norm for token in self._tokens[cue.last : first + 6]}
        return (self._says(cue, first) or does) and not nearby & _THEIRS

    def _turns_back(self, cue: Cue, first: int) -> bool:
        """An own cue, or "my ..." and "our ..." that does not start another person, between the cue and here."""
        own = (other for other in self._cues.between("own", cue.last, first))
        position = bisect_left(self._turns, cue.last)
        return any(True for _ in own) or (position < len(self._turns) and self._turns[position] < first)

    def _is_vocative(self, cue: Cue) -> bool:
        """ "Hello my friend, ..." speaks to the shop; "bought off a bloke" tells a seller."""
        before = self._tokens[cue.first - 1].norm if cue.first else ""
        owner = self._tokens[cue.last - 1].text.endswith(("'s", "’s"))
        called = before in _VOCATIVE and self._tokens[cue.first].norm not in ("i", "we")  # "hello i used to have a ..."
        return called or (before in _SELLING and not owner)

    def _continues_other(self, cue: Cue, first: int) -> bool:
        """The next sentence goes on about the other vehicle only when it opens with "his", "that one", "it"."""
        sentence = self._tokens[first].sentence
        opening = self._tokens[self._openings[sentence]].norm
        next_one = sentence == self._tokens[cue.first].sentence + 1 and opening in _GOING_ON
        return next_one and (opening in _PERSONAL or self._has_vehicle(cue, self._openings[sentence]))

    def _has_vehicle(self, cue: Cue, end: int) -> bool:
        """ "My neighbour has a NAME": not "My sister was here", after which "it" is no vehicle of hers."""
        owner = self._tokens[cue.last - 1].text.endswith(("'s", "’s", "s"))
        return owner or any(token.norm in _HAVING for token in self._tokens[cue.first : end])

    def saying(self, first: int) -> bool:
        """ "my neighbour reckons it is ..." """
        person = self._last_other(first)
        return person is not None and self._same_sentence(person.first, first) and self._says(person, first)

    def _says(self, person: Cue, first: int) -> bool:
        near = range(person.last, min(person.last + _SAYING_REACH, first))
        return any(self._tokens[index].norm in _SAYING for index in near)

    def _same_sentence(self, a: int, b: int) -> bool:
        return self._tokens[a].sentence == self._tokens[b].sentence


def _sentence_openings(tokens: Sequence[Token]) -> dict[int, int]:
    openings: dict[int, int] = {}
    for index, token in enumerate(tokens):
        openings.setdefault(token.sentence, index)
    return openings

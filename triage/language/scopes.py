"""What governs a phrase: a denial, a hedge, hearsay, another person's vehicle, a plan, the past."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from triage.language.cues import Cue, CueIndex
from triage.language.persons import OURS, Persons
from triage.language.tokens import Token

DENIAL_REACH = 4  # words between a denial and what it denies
LIST_REACH = 9  # "no spacers or bigger tyres or a lift"
HEDGE_REACH = 5
PLAN_REACH = 12
HEARSAY_REACH = 25
PAST_AFTER_REACH = 2
PAST_REACH = 8
CORRECTION_REACH = 24
_APPROXIMATE = frozenset({"about", "about a", "around", "roughly", "approx", "approximately", "or so", "ish", "circa"})
_PLAN_BREAKERS = frozenset("kept from my mine our because but currently already goes does is its has now until".split())
_PAST_BREAKERS = frozenset({"now", "its", "is", "currently", "today", "nowadays"})
_DENIAL_BREAKERS = frozenset(
    "more over above faster past beyond better but just only until unless except since when if before after its "
    "theyre".split()
)
_LIST_BREAKERS = _DENIAL_BREAKERS | {"and", "is", "has", "with", "it", "so"}
_ASKING = frozenset({"will", "would", "could", "should"})
_WISHED = frozenset({"wanted", "hoped", "wished", "planned", "offered"})
_CHANGING = frozenset({"convert", "swap", "upgrade", "switch", "replace", "change"})
_IT_IS_NOT = (["it", "isnt"], ["its", "not"], ["it", "aint"], ["it", "wasnt"], ["they", "arent"], ["theyre", "not"])
_NUMBERED = frozenset("cart carts unit battery cell buggy vehicle machine bay part order plate".split())
_BARE_NO = (["no"], ["none"], ["n"], ["nope"], ["nil"])


class Scopes:
    """Answers, for a range of tokens, which cues govern it."""

    def __init__(self, tokens: Sequence[Token], cues: Sequence[Cue]) -> None:
        self._tokens = tokens
        self._cues = CueIndex(cues)
        self._persons = Persons(tokens, self._cues)

    def cues(self, kind: str) -> Sequence[Cue]:
        """All cues of a kind, in order."""
        return self._cues.of_kind(kind)

    def near(self, kind: str, first: int, last: int, before: int, after: int = -1) -> Iterator[Cue]:
        """Cues of a kind that end at most `before` words before first or start at most `after` words after last."""
        yield from self._cues.ending(kind, first, before)
        yield from self._cues.starting(kind, last, after)

    def denied(self, first: int, last: int) -> bool:
        """A denial shortly before in the same clause, one that runs into it ("I dont smell petrol"), or a bare
        "no"/"none" right after ("lift: none")."""
        denials = self._cues.ending("denial", first, LIST_REACH)
        return (
            any(self._denies(cue, first) for cue in denials) or self._runs_into(first, last) or self._denied_after(last)
        )

    def _runs_into(self, first: int, last: int) -> bool:
        return any(
            cue.first < first < cue.last < last and not self._is_false_denial(cue)
            for cue in self._cues.of_kind("denial")
        )

    def _denies(self, cue: Cue, first: int) -> bool:
        if self._is_false_denial(cue) or not self._same_clause(cue.last - 1, first):
            return False
        between = self._words_between(cue.last, first)
        if between & _DENIAL_BREAKERS:
            return False
        listed = bool(between & {"or", "nor"}) and not between & _LIST_BREAKERS
        return first - cue.last <= DENIAL_REACH or listed

    def _denied_after(self, last: int) -> bool:
        following = [token.norm for token in self._tokens[last : last + 3]]
        answered = following[:1] in ([":"], ["?"], ["="], ["-"]) and following[1:2] in _BARE_NO
        return answered or (following[:2] in _IT_IS_NOT and self._ends_clause(last + 2))

    def _is_false_denial(self, cue: Cue) -> bool:
        return self._cues.covers("not_denial", cue) or self._cues.covers("correction", cue) or self._is_number_sign(cue)

    def _is_number_sign(self, cue: Cue) -> bool:
        """ "No.3" and "no # 3" count, they do not deny."""
        following = self._tokens[cue.last : cue.last + 2]
        mark, number = (*following, None, None)[:2]
        if mark and mark.kind == "number" and cue.first and self._tokens[cue.first - 1].norm in _NUMBERED:
            return True  # "cart no 7"
        return bool(
            mark and number and mark.text in (".", "#") and number.kind == "number" and number.start == mark.end
        )

    def hedged(self, first: int, last: int, *, numeric: bool = False) -> bool:
        """A hedge in the same clause, before or shortly after; approximations hedge numbers only."""
        before = self._cues.ending("hedge", first, HEDGE_REACH)
        after = self._cues.starting("hedge", last, 3)
        return any(self._hedges(cue, first, numeric) for cue in before) or any(
            self._trails(cue, last, numeric) for cue in after
        )

    def _hedges(self, cue: Cue, first: int, numeric: bool) -> bool:
        approximate = cue.phrase in _APPROXIMATE
        if approximate and not numeric:
            return False
        turned = self._word(cue.last) == "but" and first - cue.last <= HEDGE_REACH - 1  # "not sure, but 48"
        near = first - cue.last <= (1 if approximate else HEDGE_REACH)
        return near and (turned or self._same_clause(cue.last - 1, first))

    def _trails(self, cue: Cue, last: int, numeric: bool) -> bool:
        """A hedge that trails ("2009 i think") closes its clause; one that opens the next does not count."""
        approximate = cue.phrase in _APPROXIMATE
        if approximate and numeric and cue.first == last:
            return True
        return not approximate and self._same_sentence(cue.first, last - 1) and self._ends_clause(cue.last)

    def _ends_clause(self, index: int) -> bool:
        tokens = self._tokens
        return index >= len(tokens) or tokens[index].kind == "mark" or not self._same_clause(index - 1, index)

    def hearsay(self, first: int) -> bool:
        """Somebody said so, earlier in the same sentence or right after ("2014 he says")."""
        if any(
            self._same_sentence(cue.first, first) and not self._is_answered(cue, first) for cue in self._said(first)
        ):
            return True
        after = self._cues.starting("hearsay", first + 1, 1)
        return any(self._same_sentence(cue.first, first) for cue in after) or self._persons.saying(first)

    def _is_answered(self, cue: Cue, first: int) -> bool:
        """ "sold to me as a 48 but it has ..." """
        return bool(self._words_between(cue.last, first) & {"but", "however", "though", "although"})

    def _said(self, first: int) -> Iterator[Cue]:
        for cue in self._cues.ending("hearsay", first, HEARSAY_REACH):
            if not self._cues.covers("not_hearsay", cue):
                yield cue

    def past(self, first: int, last: int) -> bool:
        """Past words before it in the same clause, or "were on it", "when I got it" soon after."""
        return self.undone(first, last) or any(
            self._same_clause(cue.last - 1, first) and not self._words_between(cue.last, first) & _PAST_BREAKERS
            for cue in self._cues.ending("past", first, PAST_REACH)
        )

    def undone(self, first: int, last: int) -> bool:
        """ "were on it", "came off", "when I got it" soon after: what is no more so."""
        after = self._cues.starting("past_after", last, PAST_AFTER_REACH)
        return any(self._same_sentence(cue.first, first) for cue in after)

    def covered(self, kind: str, cue: Cue) -> bool:
        """A cue of the kind holds this one: "non standard" holds "standard"."""
        return self._cues.covers(kind, cue)

    def planned(self, first: int) -> bool:
        """A wish or question about a change shortly before, with no turn back to the vehicle as it is."""
        plans = self._cues.ending("plan", first, PLAN_REACH)
        held = (cue for cue in self._cues.between("plan", first - PLAN_REACH, first - 1) if cue.last > first)
        return any(self._plans(cue, first) for cue in (*plans, *held)) or self._asks_about(first)

    def _plans(self, cue: Cue, first: int) -> bool:
        if not self._same_sentence(cue.last - 1, first) or self._is_done(cue) or self._cues.covers("not_plan", cue):
            return False
        between = self._tokens[cue.last : first]
        if cue.last <= first and self._word(cue.last - 1) in _CHANGING and not self._is_aim(cue, first):
            return False
        words = {token.norm for token in between}
        moves = self._word(cue.last - 1) in _CHANGING or {"from", "to"} <= words  # "go from 36 to 48"
        breakers = _PLAN_BREAKERS - {"from"} if moves else _PLAN_BREAKERS
        return not (words & breakers) and not _turns_to_vehicle(between)

    def _is_aim(self, cue: Cue, first: int) -> bool:
        """Of "convert A to B" only B is planned; "change the tyres" has no B."""
        aims = [
            i for i in range(cue.last, min(first + 8, len(self._tokens))) if self._word(i) in ("to", "into", "with")
        ]
        return not aims or aims[0] < first

    def _is_done(self, cue: Cue) -> bool:
        """ "converted to": the cue's stem, told as done."""
        word = self._tokens[cue.first].norm
        return word.endswith("ed") and word not in _WISHED and not cue.phrase.startswith(word)

    def _asks_about(self, first: int) -> bool:
        """ "Will 12 in wheels fit", "would the 400 do": asked about at the start of a clause."""
        for index in range(max(0, first - 2), first):
            opens = index == 0 or not self._same_clause(index - 1, index)
            asks = self._tokens[index].norm in _ASKING and self._word(index + 1) != "be"  # "should be 48"
            if opens and asks and self._same_clause(index, first):
                return not self._words_between(index, first) & OURS
        return False

    def other(self, first: int, last: int = 0) -> bool:
        """Inside a stretch about another person's or a former vehicle, until the asker turns back to their own."""
        return self._persons.other(first, last or first + 1)

    def owned(self, first: int, last: int) -> bool:
        """The asker turns to their own vehicle between the tokens."""
        return any(True for _ in self._cues.between("own", first, last)) or bool(
            self._words_between(first, last) & OURS
        )

    def other_named(self, first: int) -> bool:
        """Right after "had a", "off a": what is named is another's vehicle or a former one."""
        return self._persons.named_before(first)

    def other_at(self, first: int) -> int:
        """The token at which the last other person before was named; -1 when none was."""
        return self._persons.named_at(first)

    def corrected(self, first: int) -> bool:
        """A correction cue in the same sentence before it, or just before in the last one."""
        sentence = self._tokens[first].sentence
        before = self._cues.ending("correction", first, CORRECTION_REACH)
        return any(sentence - self._tokens[cue.first].sentence <= 1 for cue in before)

    def contrast(self, first: int, last: int) -> bool:
        """ "X not Y": this is Y, right after a bare "not"."""
        return first > 0 and self._tokens[first - 1].norm == "not"

    def _word(self, index: int) -> str:
        return self._tokens[index].norm if index < len(self._tokens) else ""

    def _words_between(self, first: int, last: int) -> set[str]:
        return {token.norm for token in self._tokens[first:last]}

    def _same_clause(self, a: int, b: int) -> bool:
        return self._tokens[a].clause == self._tokens[b].clause

    def _same_sentence(self, a: int, b: int) -> bool:
        return self._tokens[a].sentence == self._tokens[b].sentence


def _turns_to_vehicle(between: Sequence[Token]) -> bool:
    """ "go 48 ON a 36 volt": what is wanted was told, then the vehicle it is wanted for."""
    words = [token.norm for token in between]
    numbers = [index for index, token in enumerate(between) if token.kind == "number"]
    years = any(token.kind == "number" and len(token.text) == 4 for token in between)
    told = bool(numbers) and any(word in ("on", "for") for word in words[numbers[0] :])
    with_what = any(pair == ("with", "the") for pair in pairwise(words))
    return told or with_what or ":" in words[1:] or ("for" in words and years)

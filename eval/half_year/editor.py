"""The simulated editor: knows the trade, looks at what is pointed out, and follows simple honest rules; a few minutes
a week."""

from __future__ import annotations

import difflib
from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import date

from eval.half_year.shop import Shop
from eval.half_year.staff import ASIDES, SHORTER, Wrong
from eval.half_year.weekly import Caught
from triage.editor import Beside, beside, look, refuse, reword, take
from triage.editor_combine import merge_with_answer
from triage.growth.proposal import Kind, Proposal, State
from triage.growth.statements import Reader
from triage.pack import Pack
from triage.pipeline import Stages
from triage.unusable import Unusable

NAME = "Una"
TWO_ASKERS = 2  # a new answer is taken when two people asked
OLD_ENOUGH = 14  # days, after which one asker is enough
MOST_WORDINGS = 16  # of one answer
SAME_WORDS = 0.8  # a sentence so like one that stands is no better than it
MOST = 40  # proposals decided in a week


@dataclass
class Editor:
    """What the editor has decided, and what was pointed out."""

    shop: Shop
    pointed_out: set[int] = field(default_factory=set)  # numbers of mistakes
    reached: set[int] = field(default_factory=set)  # mistakes that stood in a proposal
    false: set[int] = field(default_factory=set)  # proposals said to contradict where nothing wrong was said
    entered: set[int] = field(default_factory=set)  # mistakes that got into the base
    refusals: Counter[str] = field(default_factory=Counter)

    def week(self, stages: Stages, reader: Reader, pack: Pack, on: date) -> tuple[Pack, Counter[str]]:
        """Look, then decide on what waits; the base afterwards, and how many were made, taken, refused, left."""
        store, counts = self.shop.store, Counter[str]()
        counts["made"] = len(look(store, stages, on=on))
        ready = [one for one in store.proposals.all(State.WAITING) if self._is_ripe(one, on)]
        for proposal in ready[:MOST]:
            found = beside(proposal, stages, reader)
            why = self._judge(proposal, found)
            if not why:
                pack, why = self._take(self._put(proposal, found, pack), pack, on)
            if why:
                refuse(store, proposal.id, why, by=NAME)
                self.refusals[why] += 1
            counts["refused" if why else "taken"] += 1
        counts["waiting"] = len(store.proposals.all(State.WAITING))
        return pack, counts

    def _is_ripe(self, proposal: Proposal, on: date) -> bool:
        """A new answer waits for a second asker, but not for ever."""
        old = (on - proposal.made).days >= OLD_ENOUGH
        return proposal.kind is not Kind.NEW or proposal.askers >= TWO_ASKERS or old

    def _judge(self, proposal: Proposal, found: Beside) -> str:
        """Why it is refused; "" to take it."""
        wrong = self._wrong_in(proposal)
        self.reached |= {one.number for one in wrong}
        if found.disagreements and self._looked_up(proposal, found, wrong):
            return "a sentence is wrong"
        if proposal.kind is Kind.NEW:
            return "" if self.matters(proposal) else "not for the base"
        return self._of_change(proposal)

    def _looked_up(self, proposal: Proposal, found: Beside, wrong: list[Wrong]) -> bool:
        """The editor looks up what is pointed out: true when it is really wrong."""
        pairs = [(one.sentence, one.other) for one in found.disagreements]
        true = [one for one in wrong if any(said_in(one, text) for pair in pairs for text in pair)]
        old = [one for one in self.shop.wrong.values() if any(said_in(one, other) for _, other in pairs)]
        self.pointed_out |= {one.number for one in (*true, *old)}
        if not true and not old:
            self.false.add(proposal.id)
        return bool(true)

    def _put(self, proposal: Proposal, found: Beside, pack: Pack) -> Proposal:
        """A new answer that one of those shown beside it gives already: only its wordings are put into that one."""
        same = [
            one.answer for one in found.neighbours if self.shop.matter.get(one.answer, set()) & self.matters(proposal)
        ]
        if proposal.kind is not Kind.NEW or not same:
            return proposal
        known, new = pack.answer(same[0]), proposal.after[0]
        merge_with_answer(self.shop.store, pack, proposal.id, known.id, by=NAME)
        asked = dict.fromkeys([*known.variants, new.question, *new.variants])
        return reword(self.shop.store, proposal.id, replace(known, variants=list(asked)[:MOST_WORDINGS]), by=NAME)

    def _of_change(self, proposal: Proposal) -> str:
        about = self.shop.matter.get(proposal.answer or "", set())
        if not self.matters(proposal) <= about:
            return "it is about another matter"
        if proposal.kind is Kind.SCOPE:
            return "" if self._vehicles_are_right(proposal) else "not for these vehicles"
        if proposal.kind in (Kind.REWORDING, Kind.BRANCH) and not self._says_more(proposal):
            return "it says nothing new"
        return ""

    def matters(self, proposal: Proposal) -> set[str]:
        """What the threads it was made from asked."""
        return {self.shop.question[thread].answer for thread in proposal.threads} - {""}

    def _vehicles_are_right(self, proposal: Proposal) -> bool:
        """Wider only for vehicles that the true answer is for."""
        from triage.growth.overlap import may_meet

        true = [self.shop.truth[id].applies_to for id in self.matters(proposal)]
        return all(may_meet(answer.applies_to, scope) for answer in proposal.after for scope in true)

    def _says_more(self, proposal: Proposal) -> bool:
        old = [sentence for answer in proposal.before for sentence in answer.text.replace("\n", " ").split(". ")]
        return any(not self._is_old(line.text, old) for line in proposal.lines)

    def _is_old(self, text: str, old: list[str]) -> bool:
        if any(aside.rstrip(".") in text for aside in ASIDES):
            return True
        full = text
        for long, short in SHORTER:
            full = full.replace(short, long)
        return any(difflib.SequenceMatcher(None, full, other, autojunk=False).ratio() >= SAME_WORDS for other in old)

    def _wrong_in(self, proposal: Proposal) -> list[Wrong]:
        texts = [line.text for line in proposal.lines] + [a.text for a in proposal.after if not proposal.before]
        made = [self.shop.said_wrong[thread] for thread in proposal.threads if thread in self.shop.said_wrong]
        return [one for one in made if any(said_in(one, text) for text in texts)]

    def _take(self, proposal: Proposal, pack: Pack, on: date) -> tuple[Pack, str]:
        try:
            taken = take(self.shop.store, pack, proposal.id, by=NAME, on=on)
        except Unusable:
            return pack, "the answer was changed meanwhile"
        self.entered |= {one.number for one in self._wrong_in(proposal)}
        matters = self.matters(proposal)
        for answer in taken.proposal.after:
            self.shop.matter.setdefault(answer.id, set()).update(matters)
        return taken.pack or pack, ""

    def caught(self) -> Caught:
        """Contradictions to date."""
        return Caught(len(self.shop.said_wrong), len(self.pointed_out), len(self.false))


def said_in(wrong: Wrong, text: str) -> bool:
    """The mistake stands in a sentence, in long or short forms."""
    said, told = plain(wrong.says), plain(text)
    return said in told or (len(told.split()) > 3 and told in said)


def plain(text: str) -> str:
    """Words alone, in long forms."""
    for long, short in SHORTER:
        text = text.replace(short, long)
    return " ".join("".join(c if c.isalnum() else " " for c in text.casefold()).split())

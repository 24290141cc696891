"""Work done to a part, and how it came out."""

from __future__ import annotations

from collections.abc import Iterator

from triage.facts.candidate import Candidate, words_basis
from triage.facts.trade import BATTERY_PARTS
from triage.language import Document, Mention
from triage.model import Standing

_ADJECTIVE_REACH = 2  # "new solenoid"
_VERB_REACH = 5  # "replaced the old worn solenoid"
_PASSIVE_REACH = 3  # "solenoid has been replaced"
_SUBJECT_REACH = 8  # "two of the four batteries in my NAME were swapped"
_OUTCOME_REACH = 8
_PRONOUN_REACH = 12
_NEW = frozenset({"new", "brand new", "brand-new"})
_BE = frozenset(
    "is are was were been be has have had got being just recently all both already , too also it they".split()
)
_LIST = frozenset(", and & + the a an new both all my also then two four six plus as well / old".split())
_NEED = frozenset("need needs should buy want get order if cost sell costs price would could can must without".split())
_HAVING = frozenset(
    "has have had got put fitted with installed bought gave threw stuck is are its since after already and , . ; "
    "! : the my all both on & + - it".split()
)
_TAKING = frozenset({"took", "taken", "pulled", "taking"})
_ABOUT = frozenset({"about", "around", "over", "round"})


def find(document: Document) -> Iterator[Candidate]:
    """Candidates for work_done."""
    yield from _work(document)
    yield from _taken_off(document)


def _work(document: Document) -> Iterator[Candidate]:
    seen: set[tuple[str, int]] = set()
    for work in document.of_kind("work"):
        if " " in work.entry.key and _names_part(work.entry.key):
            longer = (p for p in document.between("part", work.first, work.last) if p.last > work.last)
            if not any(longer) and not _is_about_need(document, work):
                yield _whole(document, work)
            continue
        for part in _objects(document, work):
            if (part.entry.key, part.first) not in seen:
                seen.add((part.entry.key, part.first))
                yield _candidate(document, work, part)


def _taken_off(document: Document) -> Iterator[Candidate]:
    """ "took the controller out": a verb around its part."""
    for part in document.of_kind("part"):
        verbs = range(max(0, part.first - 3), part.first)
        taken = next((i for i in verbs if document.norm(i) in _TAKING and document.same_sentence(i, part.first)), None)
        if taken is not None and document.norm(part.last) in ("out", "off") and document.norm(taken - 1) != "to":
            basis = words_basis(document, taken, part.last + 1)
            yield Candidate("work_done", f"{part.entry.key} removed", taken, part.last + 1, "", basis, part.entry.key)


def _names_part(key: str) -> bool:
    return key not in ("topped up",)


def _whole(document: Document, work: Mention) -> Candidate:
    """Work whose words hold their object: "charged it overnight"."""
    basis = words_basis(document, work.first, work.last)
    part = work.entry.key.split(" ")[0]
    outcome = _outcome(document, work.last)
    return Candidate(
        "work_done", work.entry.key, work.first, work.last, "", basis, part, outcome, _standing(document, work)
    )


def _candidate(document: Document, work: Mention, part: Mention) -> Candidate:
    first, last = min(work.first, part.first), max(work.last, part.last)
    basis, outcome = words_basis(document, first, last), _outcome(document, last)
    key = "battery" if part.entry.key in BATTERY_PARTS else part.entry.key
    standing = _standing(document, work)
    return Candidate("work_done", f"{key} {work.entry.key}", first, last, "", basis, key, outcome, standing)


def _standing(document: Document, work: Mention) -> Standing | None:
    return Standing.PLANNED if document.scopes.planned(work.first) else None


def _objects(document: Document, work: Mention) -> list[Mention]:
    """The parts worked on: after the verb, or before one that ends its clause; "a new one" is the last named."""
    if _is_about_need(document, work) or _is_swap_about(document, work):
        return []
    if work.entry.value in _NEW:
        return _made_new(document, work)
    passive = _passive(document, work)
    if passive and _ends_clause(document, work.last):
        return passive
    return _listed_after(document, work, _VERB_REACH) or passive or _pronoun(document, work)


def _made_new(document: Document, work: Mention) -> list[Mention]:
    """ "new solenoid", "the batteries are new", "put a new one in"; not "a new battery costs 200"."""
    after = _listed_after(document, work, _ADJECTIVE_REACH)
    if not after:
        return _passive(document, work) or _pronoun(document, work)
    article = document.norm(work.first - 1) in ("a", "an", "any", "some", "another")
    had = not article and (work.first == 0 or document.norm(work.first - 1) not in ("of", "for", "about", "to"))
    return after if had or _is_had(document, work.first - 1) else []


def _is_had(document: Document, index: int) -> bool:
    """A verb of having or fitting shortly before, in the sentence."""
    window = range(max(0, index - 5), index)
    verbs = _HAVING - {"the", "my", ",", "and", ".", ";", "!", ":", "on", "it", "-", "all", "both"}
    return any(document.norm(i) in verbs and document.same_sentence(i, index) for i in window)


def _listed_after(document: Document, work: Mention, reach: int) -> list[Mention]:
    """The first part after in the clause, and those joined to it."""
    found: list[Mention] = []
    edge = work.last
    for part in document.between("part", work.last, work.last + 40):
        gap = range(edge, part.first)
        if not document.same_sentence(work.first, part.first) or len(gap) > (3 if found else reach):
            break
        if found and any(document.norm(i) not in _LIST for i in gap):
            break
        if not found and _parted(document, gap):
            break
        if part.first < edge:
            continue
        found.append(part)
        edge = part.last
    return found if not _followed_by_other_work(document, found) else found[:-1]


def _parted(document: Document, gap: range) -> bool:
    return any(document.norm(i) in (",", ":", "(", "so", "but", "because") for i in gap)


def _followed_by_other_work(document: Document, found: list[Mention]) -> bool:
    """ "solenoid replaced, terminals cleaned": the last part belongs to the next verb."""
    if len(found) < 1:
        return False
    following = document.between("work", found[-1].last, found[-1].last)
    return any(m.entry.value not in _NEW for m in following) and _ends_clause(document, following[0].last)


def _passive(document: Document, work: Mention) -> list[Mention]:
    """ "solenoid replaced", "the solenoid has been changed": the part just before."""
    if document.norm(work.first - 1) in ("was", "were", "been", "are", "got", "is"):
        subject = [
            p for p in document.before("part", work.first, _SUBJECT_REACH) if document.same_clause(p.first, work.first)
        ]
        if subject:
            return subject[:1]
    near = document.before("part", work.first, _PASSIVE_REACH)[-1:]
    return [
        part
        for part in near
        if document.same_sentence(part.first, work.first)
        and all(document.norm(i) in _BE for i in range(part.last, work.first))
    ]


def _ends_clause(document: Document, index: int) -> bool:
    """A mark, the end, or a word that opens something else."""
    if index >= len(document.tokens) or not document.same_sentence(index - 1, index):
        return True
    opens = (
        "and",
        "but",
        "so",
        "with",
        "in",
        "last",
        "this",
        "yesterday",
        "twice",
        "already",
        "by",
        "too",
        "on",
        "at",
        "still",
    )
    return document.tokens[index].kind == "mark" or document.norm(index) in opens


def _pronoun(document: Document, work: Mention) -> list[Mention]:
    """ "put a new one in": the part named last."""
    if document.norm(work.last) not in ("one", "ones", "it", "them"):
        return []
    return document.before("part", work.first, _PRONOUN_REACH)[-1:]


def _is_swap_about(document: Document, work: Mention) -> bool:
    """ "swapped batteries one and four about" moves them."""
    window = range(work.last, min(work.last + 7, len(document.tokens)))
    return work.entry.value.startswith("swap") and any(
        document.norm(i) in _ABOUT and document.same_sentence(i, work.first) for i in window
    )


def _is_about_need(document: Document, work: Mention) -> bool:
    """ "need a new charger", "do I replace": not done."""
    before = [document.norm(i) for i in range(max(0, work.first - 4), work.first)]
    return bool(_NEED & set(before)) or "to" in before[-1:] or "before" in before[:1]


def _outcome(document: Document, last: int) -> str:
    """How it came out, told shortly after in the same sentence."""
    for mention in document.between("outcome", last, last + _OUTCOME_REACH):
        if document.same_sentence(mention.first, last - 1):
            return mention.entry.key
    return ""

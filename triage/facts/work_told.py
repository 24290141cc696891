"""Is a piece of work told as done? Not when it is needed, asked about, wished for, or a thing for sale."""

from __future__ import annotations

from triage.language import Document, Mention

# words that make what follows wanted, asked about or supposed, not done
_NOT_YET = frozenset(
    "need needs needed should shall must can could would will may might want wants wanted if please cost costs "
    "price buy get gets getting be being unless whether cant wont wouldnt recommend needing requires require "
    "before without nobody nothing none never".split()
)
_TELLING = frozenset({"tell", "say", "know", "ask"})  # "I want to tell you that ..."
_WERE = frozenset({"was", "were", "been"})
_NEAR = 2  # words before "the carb was cleaned" that can make it a supposition
_REACH = 5  # words from such a word to the work
_HAVE_IT = frozenset({"had", "having", "shes", "got"})
_ASKING = frozenset(
    "how what which should can could do does would will is are must may shall when if whats where why".split()
)
_ASKING_BACK = frozenset({"has", "have", "had", "was", "were", "did"})  # with a question mark only
_FINITE = frozenset("i we he she they you who ive weve hes theyve somebody someone".split())
_QUESTION_REACH = 40  # words from what is asked about to its question mark
_OPENING_REACH = 14  # words from the opening of a question to what it asks about
_HAVING = frozenset(
    "has have had got put fitted with installed bought gave threw stuck since after already its hes shes theres "
    "runs on now got".split()
)
_DOING_REACH = 14  # words from "had" to "done": "had a solenoid, key switch and two cables done"
_HAVING_REACH = 5
_ARTICLES = frozenset({"a", "an", "any", "some", "another"})
_NO_MORE_THAN_NAMED = frozenset(
    {"of", "for", "about", "to", "or", "than", "which", "what", "these", "buying", "without"}
)
_LATELY = frozenset("yesterday ago already today just last saturday sunday monday tuesday friday".split())


def is_told(document: Document, act: Mention, first: int) -> bool:
    """The work, whose words begin at `first`, is told as done."""
    if _is_not_yet(document, first, act.first):
        return False
    return _is_finite(document, act.first) or not _is_asked(document, first)


def is_told_new(document: Document, act: Mention) -> bool:
    """ "new plug": had, got or put in; not "a new battery costs", "better with new batteries?"."""
    if document.norm(act.first - 1) == "the" and document.norm(act.first - 2) in ("before", "since", "after"):
        return True  # "before the new tyres"
    if _is_not_yet(document, act.first, act.first) or _is_asked(document, act.first):
        return False
    if document.norm(act.first - 1) in _ARTICLES:
        return is_had(document, act.first - 1)
    return document.norm(act.first - 1) not in _NO_MORE_THAN_NAMED or is_had(document, act.first)


def was_had_done(document: Document, act: Mention) -> bool:
    """ "had the brakes done": not "the motor is done"."""
    window = range(max(0, act.first - _DOING_REACH), act.first)
    return any(document.norm(i) in _HAVE_IT and document.same_sentence(i, act.first) for i in window)


def told_now(document: Document, act: Mention) -> bool:
    """ "yesterday I change the fuse": told in the present by somebody who means the past."""
    doer = document.norm(act.first - 1) in ("i", "we")
    window = range(max(0, act.first - 14), min(act.first + 10, len(document.tokens)))
    return doer and any(document.norm(i) in _LATELY and document.same_sentence(i, act.first) for i in window)


def _is_not_yet(document: Document, first: int, act: int) -> bool:
    passive = bool({document.norm(i) for i in range(first, act)} & _WERE)
    low = max(0, first - (_NEAR if passive else _REACH))  # "it wont idle the carb was cleaned"
    window = [i for i in range(low, act) if document.same_clause(i, first) or i >= first]
    words = [document.norm(i) for i in window]
    marks = [position for position, word in enumerate(words) if word in _NOT_YET and not _is_harmless(words, position)]
    return bool(marks)


def _is_harmless(words: list[str], position: int) -> bool:
    """Told is what somebody did after such a word: "before I cleaned it", "could not find it and I replaced"."""
    following = set(words[position + 1 :])
    doer = words[position] not in ("if", "unless", "whether", "nobody", "never") and following & _FINITE
    return bool(doer or following & _TELLING)


def _is_finite(document: Document, act: int) -> bool:
    """Somebody did it: "I've replaced"."""
    near = [document.norm(i) for i in range(max(0, act - 4), act) if document.same_clause(i, act)]
    return bool(set(near) & _FINITE) and not set(near) & {"if", "when"}


def _is_asked(document: Document, first: int) -> bool:
    """The sentence opens as a question shortly before."""
    opening = first
    while opening > 0 and document.same_sentence(opening - 1, first) and first - opening < _OPENING_REACH:
        opening -= 1
    opens = opening == 0 or not document.same_sentence(opening - 1, first)
    asks = document.norm(opening) in _ASKING_BACK and _ends_in_question(document, first)
    return opens and (asks or document.norm(opening) in _ASKING)


def _ends_in_question(document: Document, index: int) -> bool:
    last = min(index + _QUESTION_REACH, len(document.tokens) - 1)
    while index < last and document.same_sentence(index, index + 1):
        index += 1
    return document.norm(index) == "?"


def is_had(document: Document, index: int) -> bool:
    """A verb of having or fitting shortly before, in the sentence."""
    window = range(max(0, index - _HAVING_REACH), index)
    return any(document.norm(i) in _HAVING and document.same_sentence(i, index) for i in window)

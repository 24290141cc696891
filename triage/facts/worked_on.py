"""What a piece of work was done to: parts the pack knows, changes it knows, else the asker's own noun."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from triage.facts.work_things import Object, things_near
from triage.language import Document, Mention
from triage.language.cues import Cue
from triage.language.numbers import WORD_VALUES

_REACH = 8  # words between an act and its part
_LISTED_REACH = 30  # words from the first part of a list to its last
_CLOSE = 4  # words of "has just been" between a part and its act
_SUBJECT_REACH = 8  # "two of the four batteries in my NAME were swapped"
_PRONOUN_REACH = 14
_PARTICLES = frozenset("in on out up off over down back through".split())
_BE = frozenset(
    "r is are was were been be has have had got get being just recently all both already too also it they re ve s "
    "never even since last twice newly freshly completely properly have's".split()
)
_JOINTS = frozenset("and & + / , plus as well then the a an my both all also new two four six".split())
_TIMES = frozenset(
    "in on last week month year spring summer autumn winter january february march april may june july "
    "august september october november december monday tuesday wednesday thursday friday saturday sunday".split()
)
_LINKS = frozenset({"and", "&", "+", "plus", "both", "all"})
_STOPS = frozenset(
    "in on for with to from at by because and but so then when if is was are were which that who it still now "
    "while before after until since as or than into onto".split()
)
_COPULAS = frozenset({"was", "were", "been", "are", "got", "is"})
_WERE = frozenset({"were", "been"})
_STANDS_FOR = frozenset("they theyre these those both them".split())
_PRONOUNS = frozenset({"it", "them", "one", "ones", "those", "these", "both", "that"})
_DETERMINERS = frozenset("the a an my our its his all both every each some any new old".split()) | frozenset(
    WORD_VALUES
)
_NO_NOUNS = (
    _STOPS
    | _PRONOUNS
    | _DETERMINERS
    | frozenset(
        "yesterday today twice once already again too myself well also really last week month year years times i we he "
        "she they you this there not no just".split()
    )
)
_OPEN_ACTS = frozenset(
    {"cleaned", "tightened", "greased", "bypassed", "rebuilt", "repaired", "rewired", "disconnected"}
)
_ADJECTIVES = frozenset({"new", "brand new"})
_ARTICLES = frozenset({"the", "a", "an", "my", "our", "this", "that"})
_ALL_OF_IT = frozenset({"everything"})
_MOST_PARTICLES, _MOST_DETERMINERS = 4, 5
_MOST_NOUNS = 2  # words of the asker's own noun


def after(document: Document, act: Mention, reach: int = _REACH) -> list[Object]:
    """Parts after the act and those joined to it; "cleaned and tightened the lugs" share theirs."""
    start = _past_particles(document, act.last)
    found: list[Object] = []
    edge = start
    for thing in things_near(document, start, start + reach + _LISTED_REACH):
        gap = range(edge, thing.first)
        leads = _is_joined([document.norm(i) for i in gap]) if found else _leads_to(document, act, gap, reach)
        if not leads or not document.same_sentence(act.first, thing.first):
            break
        found.append(thing)
        edge = thing.last
    if len(found) > 1 and document.between("work", edge, edge):
        found.pop()  # "solenoid replaced, terminals cleaned": the last part belongs to the next act
    return found or _own_noun_after(document, act, start)


def _is_joined(gap: Sequence[str]) -> bool:
    """ "the solenoid and the key switch", "the batteries in May and the charger"."""
    timed = bool(set(gap) & _TIMES)
    return all(word in _JOINTS | _TIMES for word in gap) and (not timed or bool(set(gap) & _LINKS))


def before(document: Document, act: Mention) -> list[Object]:
    """Parts before the act: "the solenoid and the key switch were replaced"; what "they" were."""
    said = document.norm(act.first - 1)
    near = things_near(document, act.first - _SUBJECT_REACH - _LISTED_REACH, act.first - 1)
    near = [thing for thing in near if thing.last <= act.first and document.same_sentence(thing.first, act.first)]
    if not near or not _is_said_of(document, act, near[-1]):
        return subjects(document, act.first) if said in _WERE else []
    gap = range(near[-1].last, act.first)
    return [*_joined_before(document, near, near[-1]), near[-1]] if _ends_here(document, act, gap) else []


def _is_said_of(document: Document, act: Mention, thing: Object) -> bool:
    """ "solenoid has been replaced", "the batteries in my NAME were swapped"."""
    gap = range(thing.last, act.first)
    close = len(gap) <= _CLOSE and all(document.norm(i) in _BE for i in gap)
    copula = document.norm(act.first - 1) in _COPULAS
    return close or (copula and len(gap) <= _SUBJECT_REACH and document.same_clause(thing.first, act.first))


def subjects(document: Document, index: int, reach: int = _PRONOUN_REACH) -> list[Object]:
    """What is spoken of right before the token: a part, or the one that "they" stands for."""
    place = index
    while document.norm(place - 1) in _BE - {"it", "they"} and index - place < 5:
        place -= 1
    things = [t for t in things_near(document, index - reach, index - 1) if t.last <= place]
    told = things and things[-1].last == place
    return things[-1:] if told or document.norm(place - 1) in _STANDS_FOR else []


def named_after(document: Document, cue: Cue) -> list[Object]:
    """ "they are only from last month, the batteries": named after all."""
    if not any(document.norm(i) in _STANDS_FOR for i in range(cue.first - 3, cue.first)):
        return []
    things = things_near(document, cue.last, cue.last + _SUBJECT_REACH)
    return [thing for thing in things if document.same_sentence(thing.first, cue.first)][:1]


def pronoun(document: Document, act: Mention) -> list[Object]:
    """ "put a new one in", "topped it up": the part named last."""
    index = _past_particles(document, act.last)
    if document.norm(index) in ("a", "the", "new") and document.norm(index + 1) in ("new", "one", "ones"):
        index += 1 + (document.norm(index + 1) == "new")
    if document.norm(index) not in _PRONOUNS:
        return []
    put_in = document.norm(index + 1) == "in" and document.norm(index) in ("them", "these", "those")
    named = [t for t in things_near(document, act.first - _PRONOUN_REACH - 4, act.first - 1) if t.last <= act.first]
    named = named or _named_at_last(document, index)
    return [replace(thing, spare=thing.spare or put_in) for thing in named[-1:]]


def _named_at_last(document: Document, index: int) -> list[Object]:
    """ "topped them up last Sunday, the batteries"."""
    things = things_near(document, index, index + _PRONOUN_REACH)
    told = [thing for thing in things if [document.norm(i) for i in (thing.first - 2, thing.first - 1)] == [",", "the"]]
    return [thing for thing in told if document.same_sentence(thing.first, index)][:1]


def _past_particles(document: Document, index: int) -> int:
    """Past "out", "up", and past a second act with the same object: "cleaned up and tightened"."""
    for _ in range(_MOST_PARTICLES):
        following = document.between("work", index + 1, index + 1)
        if document.norm(index) in _PARTICLES:
            index += 1
        elif document.norm(index) in ("and", "&") and following:
            index = following[0].last
    return index


def _leads_to(document: Document, act: Mention, gap: range, reach: int) -> bool:
    """Nothing between an act and its part but what describes the part."""
    words = [document.norm(i) for i in gap]
    if act.entry.value in _ADJECTIVES and set(words) & _ARTICLES:
        return False  # "the new girl riding the brake"
    if words[:1] == [":"]:
        gap = gap[1:]  # "Have replaced: the solenoid"
    marks = any(document.tokens[i].kind == "mark" and document.norm(i) not in "\"'(-" for i in gap)
    return len(gap) <= reach and not set(words) & _STOPS and not marks


def _joined_before(document: Document, things: Sequence[Object], last: Object) -> list[Object]:
    chain: list[Object] = []
    edge, linked = last.first, False
    for thing in reversed([t for t in things if t.last <= last.first]):
        gap = [document.norm(i) for i in range(thing.last, edge)]
        if (
            len(gap) > 3
            or not all(word in _JOINTS for word in gap)
            or not document.same_sentence(thing.first, last.first)
        ):
            break
        linked = linked or bool(set(gap) & _LINKS)
        if not linked:
            break
        chain.insert(0, thing)
        edge = thing.first
    return chain


def _ends_here(document: Document, act: Mention, gap: range) -> bool:
    """An act right after a part is said of it, unless it goes on to its own object: "solenoid, replaced the fuse"."""
    if len(gap) > 0 or not document.between("part", act.last, act.last + 3):
        return True
    index = act.last
    return index >= len(document.tokens) or document.norm(index) not in _DETERMINERS


def _own_noun_after(document: Document, act: Mention, start: int) -> list[Object]:
    """A noun the pack does not know: "greased the king pins"."""
    index = start
    if document.norm(start) in _ALL_OF_IT and act.entry.key in _OPEN_ACTS:
        return [Object(document.norm(start), document.norm(start), start, start + 1)]
    while document.norm(index) in _DETERMINERS and index - start < _MOST_DETERMINERS:
        index += 1
    told = index > start and document.norm(start) not in ("a", "an")
    return _own_noun(document, index) if told and act.entry.key in _OPEN_ACTS else []


def _own_noun(document: Document, first: int) -> list[Object]:
    last = first
    while last < len(document.tokens) and last - first < _MOST_NOUNS and _is_noun(document, last):
        last += 1
    if last == first or not document.same_sentence(first, last - 1):
        return []
    name = document.words(first, last).lower()
    return [Object(name, name, first, last, spare=True)]


def _is_noun(document: Document, index: int) -> bool:
    token = document.tokens[index]
    return token.is_word and token.norm not in _NO_NOUNS and not document.between("name", index, index)

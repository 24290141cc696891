"""Controller and motor: as made or changed, and the controller's current."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from triage.facts.candidate import Candidate, plain, words_basis
from triage.facts.trade import CONTROLLER_PARTS, Trade
from triage.language import Document, Mention
from triage.language.cues import Cue
from triage.language.quantities import Quantity
from triage.model import Standing

_PARTS = frozenset({"controller", "motor"})
_STOCK, _MODIFIED = "stock", "modified"
_KINDS = {"as_made": _STOCK, "not_as_made": _MODIFIED}
_EVERYTHING = frozenset({"everything", "throughout"})
_WHOLLY = frozenset("completely totally entirely fully wholly bone dead bog purely".split())  # "bone stock"
_SAVE = frozenset("on apart except but as still and in besides otherwise".split())
_COPULAS = frozenset("is are was were been be both still all isnt arent wasnt werent aint not".split())
_BETWEEN = frozenset(
    "and & or the a an speed motor controller is are was isnt arent wasnt not has have been still all both its my : "
    "also amp amps v volt of one".split()
)
_REACH = 4
_WANTED = frozenset("need needs want wants which buy order price cost if".split())
_MINE = frozenset({"mine", "ours"})
_FARTHEST = 12  # words from a part to what is said of it in one breath
_MEANT_REACH = 45  # words from a part to "mine is stock"
_FITTING = frozenset("put fitted installed swapped changed upgraded bolted stuck wired".split())
_FITTING_REACH = 6
_CURRENT_REACH = 5
_BARE_BEFORE = frozenset("a an the his her old new my want wants to or that and stock presently currently now".split())
_BARE_NOT_AFTER = frozenset("dollars pounds quid miles bucks euros".split())


def find(document: Document, trade: Trade) -> Iterator[Candidate]:
    """Candidates for controller, motor (with their modification) and controller_current."""
    for cue_kind, value in _KINDS.items():
        for cue in document.scopes.cues(cue_kind):
            if value == _STOCK and document.scopes.covered("not_as_made", cue):
                continue
            for part in _parts_of(document, cue):
                yield from _told(document, cue, part, value)
            yield from _unlike(document, cue, value)
            if value == _STOCK and _is_of_everything(document, cue):
                for name in sorted(_PARTS):
                    yield from _candidates(document, name, _STOCK, cue.first, cue.last)
    yield from _replaced(document, trade)
    yield from _currents(document, trade)


def _unlike(document: Document, cue: Cue, value: str) -> Iterator[Candidate]:
    """ "the motor isn't original but the controller is": the other way round, told by the verb alone."""
    turned = document.norm(cue.last) in ("but", "though") and document.scopes.denied(cue.first, cue.last)
    for part in document.between("part", cue.last + 1, cue.last + 2) if turned and value == _STOCK else ():
        said = document.norm(part.last) in ("is", "was") and _ends(document, part.last + 1)
        if part.entry.key in _PARTS and said:
            yield from _candidates(document, part.entry.key, _STOCK, part.first, part.last + 1, Standing.STATED)


def _ends(document: Document, index: int) -> bool:
    return index >= len(document.tokens) or document.tokens[index].kind == "mark"


def _is_of_everything(document: Document, cue: Cue) -> bool:
    """ "stock everything", "all stock", "everything is original"; "NAME, AGM, stock." """
    before, after = document.norm(cue.first - 1), document.norm(cue.last)
    whole = before if before not in _COPULAS - {"all"} else document.norm(cue.first - 2)
    ends = cue.last == len(document.tokens) or document.tokens[cue.last].kind == "mark"
    apart = before == "," and ends and bool(document.before("name", cue.first, _FARTHEST))
    ends = ends or after in _SAVE
    wholly = before in _WHOLLY and not document.between("part", cue.last, cue.last + 1)
    return after in _EVERYTHING or wholly or (ends and whole in _EVERYTHING | {"all"}) or apart


def _told(document: Document, cue: Cue, part: Mention, value: str) -> Iterator[Candidate]:
    """One part told to be stock or changed; "not the original controller" is a changed one."""
    first, last = min(cue.first, part.first), max(cue.last, part.last)
    if last - first > _FARTHEST:  # "mine is stock": the part was named long before
        first, last = cue.first, cue.last
    if value == _STOCK and document.scopes.denied(cue.first, cue.last):
        yield from _candidates(document, part.entry.key, _MODIFIED, first, last, Standing.STATED)
    else:
        yield from _candidates(document, part.entry.key, value, first, last)


def _candidates(
    document: Document, part: str, value: str, first: int, last: int, standing: Standing | None = None
) -> Iterator[Candidate]:
    basis = words_basis(document, first, last)
    yield Candidate(part, value, first, last, basis=basis, standing=standing)
    if value == _MODIFIED:
        yield Candidate("modification", f"upgraded {part}", first, last, basis=basis, standing=standing)


def _parts_of(document: Document, cue: Cue) -> list[Mention]:
    """The parts the word is said of: "stock motor and controller", "the controller is the original"."""
    after = document.between("part", cue.last, cue.last + _REACH)
    before = list(reversed(document.before("part", cue.first, 2 * _REACH)))
    said_of = list(_joined(document, before, cue.first, forwards=False))
    predicate = document.norm(cue.first - 1) in _COPULAS or document.norm(cue.first - 2) in _COPULAS
    if predicate:
        listed = list(_joined(document, after, cue.last, forwards=True, listed=True))
        return said_of or listed or _meant(document, cue)
    return list(_joined(document, after, cue.last, forwards=True)) or said_of


def _meant(document: Document, cue: Cue) -> list[Mention]:
    """ "mine is stock", after a controller was spoken of."""
    if document.norm(cue.first - 2) not in _MINE or document.between("part", cue.last, cue.last + 1):
        return []
    spoken = [m for m in document.before("part", cue.first, _MEANT_REACH) if m.entry.key in _PARTS]
    return spoken[-1:]


def _joined(
    document: Document, parts: Sequence[Mention], edge: int, *, forwards: bool, listed: bool = False
) -> Iterator[Mention]:
    """Parts with nothing but joining words (and commas, when `listed`) between them and the edge."""
    for mention in parts:
        gap = range(edge, mention.first) if forwards else range(mention.last, edge)
        numbers = {i for q in document.quantities_from(gap.start, len(gap)) for i in range(q.first, q.last)}
        joints = _BETWEEN | {",", "("} if listed or (numbers and not forwards) else _BETWEEN
        if any(document.norm(i) not in joints and i not in numbers for i in gap):
            return
        edge = mention.last if forwards else mention.first
        if mention.entry.key in _PARTS and not document.between("part", mention.last, mention.last):
            yield mention


def _replaced(document: Document, trade: Trade) -> Iterator[Candidate]:
    """ "put a 400 amp controller in": not the one it was made with."""
    for part in document.of_kind("part"):
        if part.entry.key not in CONTROLLER_PARTS:
            continue
        rated = any(q.unit == "A" and q.last == part.first for q in document.quantities_from(part.first - 4, 3))
        if _replaced_by(document, part, trade) or _in_place_of(document, part):
            yield from _candidates(document, part.entry.key, _MODIFIED, part.first, part.last)
            continue
        if _is_new_and_rated(document, part, trade):
            yield from _candidates(document, part.entry.key, _MODIFIED, part.first, part.last)
            continue
        rated = rated or _swapped_for(document, part)
        verbs = range(max(0, part.first - _FITTING_REACH), part.first)
        verb = next((i for i in verbs if document.norm(i) in _FITTING and document.same_clause(i, part.first)), None)
        if rated and verb is not None and document.norm(verb - 1) != "to":
            yield from _candidates(document, part.entry.key, _MODIFIED, part.first, part.last)


def _is_new_and_rated(document: Document, part: Mention, trade: Trade) -> bool:
    """ "new controller, 400 amp": not when one is needed or asked for."""
    near = document.quantities_from(part.last, _REACH)
    rated = any(q.unit == "A" and q.value in trade.controller_currents for q in near)
    wanted = {document.norm(i) for i in range(part.first - _REACH, part.first)} & _WANTED
    return rated and document.norm(part.first - 1) == "new" and not wanted


def _replaced_by(document: Document, part: Mention, trade: Trade) -> bool:
    """ "controller replaced by a 500", "changed the controller for a 500"."""
    near = document.quantities_from(part.last, 2 * _REACH)
    currents = [q for q in near if q.value in trade.controller_currents and document.same_sentence(q.first, part.first)]
    words = {document.norm(i) for i in range(part.first - 3, currents[0].first if currents else part.last)}
    other = [c for c in document.scopes.near("not_as_made", 0, part.last, 0, 2 * _REACH) if c.first > part.last]
    if not currents and other and document.same_sentence(other[0].first, part.first):
        words = {document.norm(i) for i in range(part.last, other[0].first)}
    told = currents or (other and document.norm(other[0].last) in ("one", "unit"))
    return bool(told and words & (_FITTING | {"replaced"})) and bool(words & {"by", "for", "with"})


def _in_place_of(document: Document, part: Mention) -> bool:
    """ "a 500 A controller fitted in place of the original 350"."""
    words = [document.norm(i) for i in range(part.last, part.last + _FITTING_REACH)]
    instead = ["place", "of"] in [words[i : i + 2] for i in range(_REACH)]
    return words[0] in _FITTING and instead and bool(set(words) & {"original", "stock", "standard", "old"})


def _swapped_for(document: Document, part: Mention) -> bool:
    """ "swapped the controller for a 500 amp unit"."""
    into = document.norm(part.last) == "for"
    return into and any(q.unit == "A" for q in document.quantities_from(part.last + 1, 2))


def _currents(document: Document, trade: Trade) -> Iterator[Candidate]:
    told = False
    for quantity in document.quantities:
        if quantity.unit == "A" and _controller_near(document, quantity, _CURRENT_REACH):
            told = True
            yield _current(document, quantity)
        elif _is_bare_current(document, quantity, trade) and (
            told or _controller_to(document, quantity) or _is_one_spoken_of(document, quantity)
        ):
            yield _current(document, quantity)
            if document.norm(quantity.first - 1) == "stock":
                yield from _candidates(document, "controller", _STOCK, quantity.first - 1, quantity.last)


def _current(document: Document, quantity: Quantity) -> Candidate:
    basis = words_basis(document, quantity.first, quantity.last)
    return Candidate("controller_current", plain(quantity.value), quantity.first, quantity.last, "A", basis=basis)


def _controller_near(document: Document, quantity: Quantity, reach: int) -> bool:
    """A controller in the same sentence, nearer than any other part."""
    before = document.before("part", quantity.first, reach)
    after = document.between("part", quantity.last, quantity.last + reach)
    near = [*before[-1:], *after[:1]]
    return any(m.entry.key in CONTROLLER_PARTS and document.same_sentence(m.first, quantity.first) for m in near)


def _controller_to(document: Document, quantity: Quantity) -> bool:
    """ "upgrade the controller to 450", "the controller is a 350"."""
    near = document.before("part", quantity.first, 2)
    return document.norm(quantity.first - 1) in ("to", "a", "is", ":", "-") and any(
        m.entry.key in CONTROLLER_PARTS for m in near
    )


def _is_bare_current(document: Document, quantity: Quantity, trade: Trade) -> bool:
    """ "want 400 for the hills", after a controller's amps were told."""
    usual = not quantity.unit and not quantity.decimal and quantity.value in trade.controller_currents
    after = document.norm(quantity.last)
    return usual and document.norm(quantity.first - 1) in _BARE_BEFORE and after not in _BARE_NOT_AFTER


def _is_one_spoken_of(document: Document, quantity: Quantity) -> bool:
    """ "put a bigger controller in it, a 450"."""
    near = document.before("part", quantity.first, _CURRENT_REACH)[-1:]
    article = document.norm(quantity.first - 1) in ("a", "an")
    return article and any(
        m.entry.key in CONTROLLER_PARTS and document.same_sentence(m.first, quantity.first) for m in near
    )

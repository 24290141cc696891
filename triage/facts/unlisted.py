"""Makes and models that are not in the catalogue, kept as the asker wrote them."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from triage.facts import lone_names
from triage.facts.candidate import Candidate
from triage.facts.everyday import Heard
from triage.facts.names import VEHICLE_NOUNS
from triage.facts.trade import BATTERY_PARTS, Trade
from triage.facts.unknown_words import is_introduced, is_offered, is_unknown, may_be_name
from triage.facts.years import year_at
from triage.language import Document, Mention
from triage.language.entries import Entry
from triage.language.numbers import WORD_VALUES
from triage.language.spelling import Spelling, is_compound
from triage.language.tokens import Token
from triage.model import Standing

_LABELLED = re.compile(
    r"(?im)(?:^|[|;.]\s{1,3})[ \t>*-]{0,6}(?:cart[ ._]|vehicle[ ._]|buggy )?"
    r"(make and model|make ?/ ?model|make|brand|manufacturer|model|vehicle|cart)"
    r"(?:[ \t]{0,4}(?:[:=]|\.{2,8})|[ \t]{1,4}[-–](?=[ \t]))[ \t]{0,4}([^\n,;/|]{2,40}?)[ \t]{0,4}(?=$|,|;|\||\.\s)"
)
_HEADED = re.compile(r"(?m)^(MAKE|BRAND|MODEL)[ \t]{1,4}(\w[^\n,;/|]{1,40}?)[ \t]{0,4}$")  # a form without colons
_TOLD = re.compile(r"\b(?i:(make|brand|model)) (?i:is)(?i: an?| the)? ([A-Z]\w{2,20}(?: \d{1,2}\b)?)")
_NOT_KNOWN = frozenset(
    "unknown none na not sure dont know unsure other no idea cart one the a i white green red old golf buggy".split()
)
_COUNTS = frozenset(WORD_VALUES) | {"both", "several"}
_INTRODUCERS = frozenset("seater a an my our the have got own is its older old used machine".split()) | frozenset(
    WORD_VALUES
)
_ARTICLES = frozenset({"a", "an", "the", "my", "our"})
_OPENING_MARKS = frozenset("\"'“‘(")
_CALLED = frozenset({"called", "named", "says", "brand", "make", "badged"})
_WITH_A_VEHICLE = frozenset("fit fits for on in have got own bought drive run suit suits".split())
_CASES = (str.upper, str.lower)
_MOST_UNKNOWN = 40  # unknown words looked at for want of a better sign
_CALLED_REACH = 4  # articles and opening marks before a name
_KINDS = frozenset({"electric", "petrol", "gas", "golf", "car", "cars", "model"})
_OWNING = frozenset({"my", "our", "a", "an", "have", "got"})
_JOINS_NUMBER = frozenset(
    {"x", "×", "*", "-", "to", "or", "times", "seats", "seater", "wheel", "wheels", "batts", "of"}
)
_NOT_A_MODEL = frozenset(
    "all is on that with it and for its has have was were the a an i in at from but to of my our which who will would"
    " not no its im ive thats theres heres hes shes just been get gets got keeps started went goes wont cant again"
    " still"
    " can does did do when then he she they we you so or if are had as about until after before than".split()
)


_ACTING_UP = frozenset("wont dead doesnt dont clicks keeps runs stopped died will does has not no".split())
_NOT_A_MODEL |= _ACTING_UP


def labelled(document: Document, named: Sequence[Candidate]) -> Iterator[Candidate]:
    """Lines of a form: "Make: ...", "Cart model: ..."; `named` are names of the catalogue already found."""
    taken = {index for c in named if c.name in ("make", "model") for index in range(c.first, c.last)}
    for pattern in (_LABELLED, _TOLD, _HEADED):
        for match in pattern.finditer(document.text):
            first, last = document.token_range(match.start(2), match.end(2))
            first, last = _trimmed(document, first, last)
            is_listed = bool(taken & set(range(first, last)))
            if last > first and not is_listed and not _is_unknown_value(document, first, last):
                yield from _label(document, match[1].lower(), first, last)


def _trimmed(document: Document, first: int, last: int) -> tuple[int, int]:
    """Without the year before and what describes the vehicle after: "Cart: 2011 NAME petrol"."""
    while first < last and document.tokens[first].kind in ("number", "year"):
        first += 1
    described = [m.first for m in document.between("value", first + 1, last - 1)]
    years = [i for i in range(first + 1, last) if len(document.norm(i)) == 4 and document.norm(i).isdecimal()]
    return first, min([last, *described, *years])


def _is_unknown_value(document: Document, first: int, last: int) -> bool:
    """ "dont know", "white one": no name."""
    return all(token.norm in _NOT_KNOWN or not token.is_word for token in document.tokens[first:last])


def _label(document: Document, label: str, first: int, last: int) -> Iterator[Candidate]:
    """The value of one line: a make, a model, or a make with its model ("Vehicle: ...")."""
    both = label.replace(" ", "") in ("makeandmodel", "make/model", "vehicle", "cart")
    parts = [("make", first, first + 1 if both else last)] if label != "model" else [("model", first, last)]
    if both and last > first + 1:
        parts.append(("model", first + 1, last))
    for name, start, end in parts:
        value = document.words(start, end).strip(" .")
        yield Candidate(name, value, start, end, basis=_not_listed(value))


def mentions(document: Document, named: Iterable[Candidate]) -> Iterator[Mention]:
    """Names found here, as the pack's own names are told of."""
    listed = {mention.first for mention in document.of_kind("name")}
    for candidate in named:
        if candidate.name in ("make", "model") and candidate.first not in listed:
            entry = Entry("name", candidate.name, str(candidate.value))
            yield Mention(entry, candidate.first, candidate.last)


@dataclass(frozen=True)
class Vocabulary:
    """What is known of words: their spelling, and what askers and answers say anyway."""

    spelling: Spelling
    heard: Heard


def find(document: Document, words: Vocabulary, trade: Trade, *, alone: bool = True) -> Iterator[Candidate]:
    """A make and model that are not in the catalogue: unknown words where a vehicle's name would stand.

    Where no listed name stands in the text (`alone`), any unknown word that is no slip, place or person is taken, and
    for want of one an ordinary word that is used as a name.
    """
    taken = {cue.first for cue in document.scopes.cues("not_a_name")} | {m.first for m in document.of_kind("name")}
    unknown = [i for i, t in enumerate(document.tokens) if i not in taken and is_unknown(t, words.spelling)]
    makes = _makes(document, unknown, words, trade, alone=alone)
    places = [index for index in unknown if document.norm(index) in makes]
    if alone and not places:
        places = list(lone_names.find(document, trade, words.heard.everyday))
    for index in places:
        token = document.tokens[index]
        standing = Standing.HEDGED if document.norm(index + 1) == "?" else None
        yield Candidate("make", token.text, index, index + 1, basis=_not_listed(token.text), standing=standing)
        yield from _model_after(document, index + 1, taken, words.heard.everyday)


def _makes(
    document: Document, unknown: Sequence[int], words: Vocabulary, trade: Trade, *, alone: bool
) -> frozenset[str]:
    """The unknown word that is told to be a vehicle's name, else the first that stands where one would.

    Else, `alone`, the first that may be one; with it those introduced as it is ("NAME or NAME", "my NAME").
    """
    fresh = [i for i in unknown[:_MOST_UNKNOWN] if document.norm(i) not in words.heard.once]
    told = (i for i in unknown if _is_called(document, i))
    placed = (i for i in fresh if _vehicle_position(document, i, words.spelling, trade))
    index = next(itertools.chain(told, placed), None)
    if index is not None:
        also = (i for i in fresh if alone and (_is_called(document, i) or is_offered(document, i)))
        return frozenset(document.norm(i) for i in (index, *also))
    able = [i for i in fresh if alone and may_be_name(document, i)]
    return frozenset(document.norm(i) for i in able[:1] + [i for i in able[1:] if is_introduced(document, i)])


def _is_called(document: Document, index: int) -> bool:
    """ "a cart called NAME", "the cart NAME", "cart (NAME)", "it's a NAME", "my NAME MODEL"."""
    back = index - 1
    while back >= max(0, index - _CALLED_REACH) and (
        document.norm(back) in _ARTICLES or document.tokens[back].text in _OPENING_MARKS
    ):
        back -= 1
    word = document.norm(back) if back >= 0 and document.same_sentence(back, index) else ""
    if word in _CALLED or (word in VEHICLE_NOUNS - _KINDS and document.norm(back - 1) != "golf"):
        return True
    spoken_of = document.norm(index - 1) in ("a", "an", "my")
    own = document.tokens[index].text[0].isupper() or not is_compound(document.norm(index))
    own = own or bool(document.quantities_from(index + 1, 0))
    if spoken_of and (word in ("its", "is", "was") or (word in _WITH_A_VEHICLE and own)):
        return True
    opens = index == 0 and document.norm(1) in _ACTING_UP
    if opens or _is_alone(document, index) or (_opens_with_the(document, index) and _is_titled_pair(document, index)):
        return True
    return document.norm(index - 1) in _OWNING and _is_titled_pair(document, index)


def _opens_with_the(document: Document, index: int) -> bool:
    """ "The NAME MODEL starts ...", right at the start."""
    return index == 1 and document.norm(0) == "the"


def _is_alone(document: Document, index: int) -> bool:
    """ "... . NAME LX. ...": a sentence of nothing but a name and a short model in capitals or figures."""
    tokens, end = document.tokens, index + 2
    if end > len(tokens) or not (index == 0 or not document.same_sentence(index - 1, index)):
        return False
    name, model = tokens[index : index + 2]
    ends = end == len(tokens) or tokens[end].text == "." or not document.same_sentence(index, end)
    return ends and name.text.istitle() and model.text.isupper() and 1 < len(model.text) <= 4


def _is_titled_pair(document: Document, index: int) -> bool:
    """ "my NAME MODEL", in a text that is not all capitals."""
    pair = document.tokens[index : index + 2]
    return len(pair) == 2 and all(token.is_word and token.text.istitle() for token in pair)


def models(document: Document, makes: Sequence[Candidate], words: Vocabulary) -> Iterator[Candidate]:
    """A listed make followed by a model that is not listed: "MAKE MODEL, which ..."."""
    taken = {mention.first for mention in document.of_kind("name")}
    for make in makes:
        if make.last < len(document.tokens) and document.tokens[make.last].text[0].isupper():
            yield from _model_after(document, make.last, taken, words.heard.everyday)


def _model_after(document: Document, first: int, taken: set[int], everyday: frozenset[str]) -> Iterator[Candidate]:
    last = _model_end(document, first, everyday)
    if last > first and first not in taken:
        value = _singular(document, first, document.words(first, last))
        yield Candidate("model", value, first, last, basis=_not_listed(value))


def _singular(document: Document, first: int, value: str) -> str:
    """ "three MAKE MODELs" have the model without its plural s."""
    counted = document.norm(first - 2) in _COUNTS or document.norm(first - 2).isdecimal()
    return value[:-1] if counted and value.endswith("s") and not value.endswith("ss") else value


def _not_listed(words: str) -> str:
    return f"'{words}' is not in the catalogue; kept as written"


def _vehicle_position(document: Document, index: int, spelling: Spelling, trade: Trade) -> bool:
    """Where a make would stand: after a year, "it says", or an introducing word, and looking like a vehicle."""
    before, token = _word_before(document, index), document.tokens[index]
    if before and before.norm == "the" and token.text.islower() and is_compound(token.norm):
        return False  # "the boatshed": a place or thing written as one word
    if before and (year_at(document, trade, index - 1) or before.norm in ("says", "called", "named", "brand", "make")):
        return True
    possessed = before is not None and before.text.endswith(("'s", "’s"))
    introduced = before is None or possessed or before.norm in _INTRODUCERS
    return introduced and _looks_like_vehicle(document, index, spelling, trade, opens=before is None)


def _word_before(document: Document, index: int) -> Token | None:
    """The token before in the sentence, past an opening quote."""
    tokens = document.tokens
    while index and tokens[index - 1].sentence == tokens[index].sentence:
        index -= 1
        if tokens[index].text not in "\"'“‘(":
            return tokens[index]
    return None


def _looks_like_vehicle(document: Document, index: int, spelling: Spelling, trade: Trade, *, opens: bool) -> bool:
    """Followed by a year, a voltage, a count of batteries, a vehicle noun, or a capitalised model."""
    tokens = document.tokens
    reach = 6 if opens else 4
    following = [token for token in tokens[index + 1 : index + 1 + reach] if token.sentence == tokens[index].sentence]
    near = range(index + 1, min(index + 1 + len(following), len(tokens)))
    if any(tokens[i].norm in VEHICLE_NOUNS or year_at(document, trade, i) or _is_pack(document, i) for i in near):
        return True
    titled = tokens[index].text[0].isupper() and not tokens[index].text.isupper()
    named = len(following) > 0 and following[0].is_word and following[0].text[0].isupper()
    if opens:
        return titled and named and index == 0 and len(following) > 1 and following[1].text in ("(", ",", ";")
    before = tokens[index - 1]
    counted = before.norm in ("a", "an", '"') or before.norm in WORD_VALUES or (named and "'" in before.text)
    return titled and counted


def _is_pack(document: Document, index: int) -> bool:
    """A voltage or a count of batteries starts here."""
    here = document.quantities_from(index, 0)
    return any(q.unit == "V" or _counts_batteries(document, q.last) for q in here)


def _counts_batteries(document: Document, index: int) -> bool:
    return any(m.entry.key in BATTERY_PARTS for m in document.between("part", index, index))


def _model_end(document: Document, first: int, everyday: frozenset[str]) -> int:
    """End of a model name: one word that can be a name (and its number), or letters and digits such as "GX 4"."""
    tokens = document.tokens
    if first >= len(tokens) or tokens[first].sentence != tokens[first - 1].sentence:
        return first
    token = tokens[first]
    if _is_model_number(document, first):
        return first + 1
    shouted = tokens[first - 1].text.isupper() or tokens[first - 1].text.islower()
    glued = first + 1 < len(tokens) and tokens[first + 1].kind == "number" and tokens[first + 1].start == token.end
    possible = token.norm not in _NOT_A_MODEL | _COUNTS or (glued and len(token.text) < 3)  # "U2"
    shouted = shouted and (glued or (token.norm not in everyday and not token.norm.endswith(("ed", "ing"))))
    is_name = token.is_word and possible and (token.text[0].isupper() if not _same_case(document, first) else shouted)
    if not is_name or token.norm in VEHICLE_NOUNS or _has_meaning(document, first):
        return first
    last = first + 1
    if last < len(tokens) and tokens[last].kind == "number" and _belongs(document, last):
        last += 1
    return last


def _same_case(document: Document, first: int) -> bool:
    """The word is written as the one before: capitals or small letters throughout say nothing of names."""
    return any(all(t.text == change(t.text) for t in document.tokens[first - 1 : first + 1]) for change in _CASES)


def _belongs(document: Document, index: int) -> bool:
    """A figure glued to the name ("M72"), or a single one right after it ("MODEL 4")."""
    glued = document.tokens[index].start == document.tokens[index - 1].end
    return glued or _is_model_number(document, index)


def _is_model_number(document: Document, index: int) -> bool:
    """ "MAKE 4 electric": one figure with no unit that counts nothing."""
    token = document.tokens[index]
    if token.kind != "number" or len(token.text) != 1 or _is_pack(document, index):
        return False
    here = document.quantities_from(index, 0)
    return any(q.last == index + 1 and not q.unit for q in here) and document.norm(index + 1) not in _JOINS_NUMBER


def _has_meaning(document: Document, index: int) -> bool:
    """True for a word that the pack knows as a part, a value or work."""
    kinds = ("part", "value", "work", "modification", "use", "implies")
    return any(m.first <= index < m.last for kind in kinds for m in document.between(kind, index - 6, index))

"""Make, model and year: named in the catalogue, or kept as the asker wrote them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from rapidfuzz import fuzz

from triage.facts.candidate import Candidate, words_basis
from triage.facts.trade import BATTERY_PARTS, Trade
from triage.language import Document, Mention
from triage.language.numbers import spoken_year
from triage.language.spelling import Spelling, english
from triage.language.tokens import Token
from triage.model import Standing

_DECADE = re.compile(r"\b(early|mid|late)?[ -]?(?:the )?(?:(19|20)?['’]?(\d)0['’]?s)\b", re.IGNORECASE)
_LABELLED = re.compile(r"(?im)^[ \t>*-]*(make|brand|manufacturer|model)[ \t]*[:=][ \t]*([^\n,;/]{2,40}?)[ \t]*$")
_NOT_KNOWN = frozenset("unknown none ? n/a na not sure dont know unsure other no idea - cart".split())
_DETERMINERS = frozenset(
    "my our a an the his her their your this that old own new used is its petrol gas electric leccy".split()
)
_PURCHASE = frozenset("bought purchased got since acquired purchase".split())
_BATTERY_YEAR_REACH = 6
_LIKE_THE_MAKE = 75  # of 100: a misspelt make inside an alias
_DECADE_PART = {"early": (0, 3), "mid": (4, 6), "late": (7, 9), "": (0, 9)}
_VEHICLE_NOUNS = frozenset(
    "cart carts buggy buggies cars car model vehicle utility shuttle golf electric petrol gas".split()
)


def find(document: Document, trade: Trade, spelling: Spelling) -> Iterator[Candidate]:
    """Candidates for make, model and year."""
    named = list(_named(document, trade))
    yield from named
    yield from _labelled(document, named)
    yield from _years(document, trade)
    if not any(candidate.name == "make" for candidate in named):
        yield from _unlisted(document, spelling, trade)


def _says(document: Document, mention: Mention, make: str) -> bool:
    """An alias that holds (something like) the make says the make; else the catalogue will add it."""
    typed = [token.norm for token in document.tokens[mention.first : mention.last]]
    return any(fuzz.ratio(word, make.lower()) >= _LIKE_THE_MAKE for word in typed)


def _voltage_in_name(document: Document, mention: Mention, trade: Trade) -> Iterator[Candidate]:
    """ "the Bracken 48" also tells the voltage."""
    for index in range(mention.first + 1, mention.last):
        token = document.tokens[index]
        if token.kind == "number" and token.text.isdigit() and float(token.text) in trade.pack_voltages:
            basis = words_basis(document, mention.first, mention.last)
            yield Candidate("pack_voltage", int(token.text), index, index + 1, "V", basis=basis)


def _named(document: Document, trade: Trade) -> Iterator[Candidate]:
    """Names of the catalogue; the longest at each place wins."""
    end = 0
    for mention in _longest_names(document):
        if mention.first < end or not _is_meant(document, mention):
            continue
        end = mention.last
        basis = _name_basis(document, mention)
        if mention.entry.key == "make":
            yield Candidate("make", mention.entry.value, mention.first, mention.last, basis=basis)
        elif mention.entry.key == "model":
            yield Candidate("model", mention.entry.value, mention.first, mention.last, basis=basis)
        else:
            make, model = mention.entry.value.split("\t")
            if _says(document, mention, make):
                yield Candidate("make", make, mention.first, mention.last, basis=basis)
            yield Candidate("model", model, mention.first, mention.last, basis=basis)
        yield from _voltage_in_name(document, mention, trade)


def _longest_names(document: Document) -> list[Mention]:
    names = document.of_kind("name")
    rank = {"make_model": 0, "make": 1, "model": 2}
    return sorted(names, key=lambda m: (m.first, -m.last, rank[m.entry.key]))


def _name_basis(document: Document, mention: Mention) -> str:
    typed = document.words(mention.first, mention.last)
    meant = mention.entry.value.replace("\t", " ")
    mended = any(t.norm != t.text.lower() for t in document.tokens[mention.first : mention.last])
    return f"'{typed}' read as '{meant}'" if mended else f"words: '{typed}'"


def _is_meant(document: Document, mention: Mention) -> bool:
    """A name that is also an English word needs a sign that the vehicle is meant."""
    tokens = document.tokens
    typed = [token.norm for token in tokens[mention.first : mention.last] if token.is_word]
    if not typed or any(word not in english() for word in typed) or mention.last - mention.first > len(typed):
        return True
    if any(other.entry.key == "make" and other.last == mention.first for other in document.of_kind("name")):
        return True
    before = tokens[mention.first - 1] if mention.first else None
    after = tokens[mention.last] if mention.last < len(tokens) else None
    return _has_sign(tokens[mention.first], before, after)


def _has_sign(token: Token, before: Token | None, after: Token | None) -> bool:
    if before and (before.kind in ("number", "year") or before.norm in _DETERMINERS):
        return True
    if after and (after.kind in ("number", "year") or after.norm in _VEHICLE_NOUNS):
        return True
    if before is None or before.sentence != token.sentence or before.kind == "mark":
        return (
            after is None or after.kind == "mark" or after.is_word
        )  # opens a sentence or an aside: "wren. tank drips"
    return token.text[0].isupper() and not before.text[0].isupper()


def _labelled(document: Document, named: list[Candidate]) -> Iterator[Candidate]:
    """Lines of a form: "Make: Zoltra"."""
    for match in _LABELLED.finditer(document.text):
        name = "model" if match[1].lower() == "model" else "make"
        value = match[2].strip(" .")
        first, last = _token_range(document, match.start(2), match.end(2))
        covered = any(
            candidate.name == name and candidate.first >= first for candidate in named if candidate.first < last
        )
        if last > first and not covered and value.lower() not in _NOT_KNOWN and not _inside(named, first, last, name):
            yield Candidate(name, value, first, last, basis=f"'{value}' is not in the catalogue; kept as written")


def _inside(named: list[Candidate], first: int, last: int, name: str) -> bool:
    return any(c.name == name and first <= c.first and c.last <= last for c in named)


def _token_range(document: Document, start: int, end: int) -> tuple[int, int]:
    inside = [index for index, token in enumerate(document.tokens) if token.start >= start and token.end <= end]
    return (inside[0], inside[-1] + 1) if inside else (0, 0)


def _years(document: Document, trade: Trade) -> Iterator[Candidate]:
    yield from _decades(document)
    yield from _spoken_years(document, trade)
    tokens = document.tokens
    for index in range(len(tokens)):
        year = _year_value(document, trade, index)
        if year and not _is_purchase(document, index) and not _is_battery_year(document, index):
            other, last = _year_range(document, trade, index, year)
            value: int | str = f"{year}-{other}" if other else year
            standing = Standing.HEDGED if other else None
            yield Candidate("year", value, index, last, basis=words_basis(document, index, last), standing=standing)


def _spoken_years(document: Document, trade: Trade) -> Iterator[Candidate]:
    index = 0
    while index < len(document.tokens):
        spoken = spoken_year(document.tokens, index)
        if spoken and trade.year_low <= spoken[0] <= trade.year_high and not _counts_something(document, spoken[1]):
            yield Candidate("year", spoken[0], index, spoken[1], basis=words_basis(document, index, spoken[1]))
            index = spoken[1]
        else:
            index += 1


def _counts_something(document: Document, index: int) -> bool:
    """ "twenty twelve volt batteries" and "two thousand rpm" are no years."""
    following = document.tokens[index : index + 1]
    return bool(following) and following[0].norm in (
        "volt",
        "volts",
        "v",
        "amp",
        "amps",
        "rpm",
        "miles",
        "dollars",
        "pounds",
        "ohms",
        "batteries",
    )


def _is_battery_year(document: Document, index: int) -> bool:
    """ "batteries from 2021": the batteries' year, not the vehicle's."""
    clause = document.tokens[index].clause
    return any(
        mention.entry.key in BATTERY_PARTS
        and document.tokens[mention.first].clause == clause
        and 0 < index - mention.last < _BATTERY_YEAR_REACH
        for mention in document.of_kind("part")
    ) and not any(document.tokens[m.first].clause == clause for m in document.of_kind("name"))


def _year_value(document: Document, trade: Trade, index: int) -> int | None:
    token = document.tokens[index]
    if token.kind == "year":
        return _full_year(int(token.text[1:]), trade)
    if token.kind != "number" or not token.text.isdigit() or _measured(document, index):
        return None
    if len(token.text) == 4 and trade.year_low <= int(token.text) <= trade.year_high:
        return int(token.text)
    if len(token.text) == 2 and _is_short_year(document, index):
        return _full_year(int(token.text), trade)
    return None


def _full_year(short: int, trade: Trade) -> int | None:
    year = 2000 + short if 2000 + short <= trade.year_high else 1900 + short
    return year if trade.year_low <= year <= trade.year_high else None


def _is_short_year(document: Document, index: int) -> bool:
    """ "an 09 Lark", "my 98": two digits right before a vehicle's name, or zero-led after a determiner."""
    tokens = document.tokens
    names = document.of_kind("name")
    before = tokens[index - 1].norm if index else ""
    if any(mention.first == index + 1 or mention.last == index for mention in names):
        return True
    return tokens[index].text.startswith("0") and (
        before in _DETERMINERS or before in ("from", "year", "think", "about")
    )


def _measured(document: Document, index: int) -> bool:
    """Part of a quantity with a unit ("2000 rpm") or of a price or part number."""
    for quantity in document.quantities:
        if quantity.first <= index < quantity.last:
            return bool(quantity.unit)
    return False


def _is_purchase(document: Document, index: int) -> bool:
    """ "bought it in 2015": the year of buying says little about the year of making."""
    tokens = document.tokens
    if index == 0 or tokens[index - 1].norm not in ("in", "back", "since", "until"):
        return False
    window = [token.norm for token in tokens[max(0, index - 6) : index]]
    return tokens[index - 1].norm in ("since", "until") or bool(_PURCHASE & set(window))


def _year_range(document: Document, trade: Trade, index: int, year: int) -> tuple[int | None, int]:
    """The later year of "2005 or 2006", "05-08", "2005/6"."""
    tokens = document.tokens
    if index + 2 < len(tokens) and tokens[index + 1].norm in ("or", "-", "–", "/", "to", "until", "till"):
        later = tokens[index + 2]
        text = later.text.strip("'’‘`")
        if text.isdigit() and len(text) in (1, 2, 4):
            full = int(str(year)[: 4 - len(text)] + text)
            if year < full <= trade.year_high:
                return full, index + 3
    return None, index + 1


def _decades(document: Document) -> Iterator[Candidate]:
    for match in _DECADE.finditer(document.text):
        part, century, digit = (match[1] or "").lower(), match[2], int(match[3])
        decade = int(century or ("19" if digit >= 6 else "20")) * 100 + digit * 10
        first, last = _token_range(document, match.start(), match.end())
        if last <= first or (not part and not century and decade < 1970):
            continue
        low, high = _DECADE_PART[part]
        basis = f"words: '{match[0].strip()}'"
        yield Candidate("year", f"{decade + low}-{decade + high}", first, last, basis=basis, standing=Standing.HEDGED)


def _unlisted(document: Document, spelling: Spelling, trade: Trade) -> Iterator[Candidate]:
    """A make and model that are not in the catalogue: unknown words where a vehicle's name would stand."""
    tokens = document.tokens
    taken = {mention.first for kind in ("name", "not_a_name") for mention in document.of_kind(kind)}
    taken |= {cue.first for cue in document.scopes.cues("not_a_name")}
    for index, token in enumerate(tokens):
        if (
            index in taken
            or not _is_unknown(token, spelling)
            or not _vehicle_position(document, index, spelling, trade)
        ):
            continue
        yield Candidate("make", token.text, index, index + 1, basis=_not_listed(token.text))
        last = _model_end(document, spelling, index + 1)
        if last > index + 1 and index + 1 not in taken:
            value = document.words(index + 1, last)
            yield Candidate("model", value, index + 1, last, basis=_not_listed(value))
        return


def _not_listed(words: str) -> str:
    return f"'{words}' is not in the catalogue; kept as written"


def _is_unknown(token: Token, spelling: Spelling) -> bool:
    return token.is_word and len(token.norm) >= 4 and not spelling.knows(token.norm) and token.norm.isalpha()


def _vehicle_position(document: Document, index: int, spelling: Spelling, trade: Trade) -> bool:
    """Where a make would stand: by a year, a voltage or a vehicle noun, after "a", "my", "it says", or first of a text."""
    tokens = document.tokens
    before = tokens[index - 1] if index and tokens[index - 1].sentence == tokens[index].sentence else None
    if before and (
        _year_value(document, trade, index - 1) or before.norm in ("says", "called", "named", "brand", "make")
    ):
        return True
    introduced = before is None or before.norm in _INTRODUCERS
    return introduced and _looks_like_vehicle(document, index, spelling, trade, opens=before is None)


_INTRODUCERS = frozenset("a an my our the have got own is its with for of this older old used machine".split())
_NOT_A_MODEL = frozenset(
    "all is on that with it and for its has have was were the a an i in at from but to of my our which who will would not no"
    " can does did do when then he she they we you so or if are had as about until after before than".split()
)


def _looks_like_vehicle(document: Document, index: int, spelling: Spelling, trade: Trade, *, opens: bool) -> bool:
    """Followed by a year, a voltage, a count of batteries, a vehicle noun, or a capitalised model."""
    tokens = document.tokens
    following = [token for token in tokens[index + 1 : index + 4] if token.sentence == tokens[index].sentence]
    near = any(token.norm in _VEHICLE_NOUNS or token.kind in ("number", "year") for token in following[:3])
    if near:
        return True
    titled = tokens[index].text[0].isupper() and not opens
    return titled and not tokens[index].text.isupper() and (index == 0 or tokens[index - 1].norm in ("a", "an"))


def _model_end(document: Document, spelling: Spelling, first: int) -> int:
    """End of a model name: one word that can be a name (and its number), or letters and digits such as "GX 4"."""
    tokens = document.tokens
    if first >= len(tokens) or tokens[first].sentence != tokens[first - 1].sentence:
        return first
    token = tokens[first]
    shouted = tokens[first - 1].text.isupper() or tokens[first - 1].text.islower()
    is_name = token.is_word and token.norm not in _NOT_A_MODEL and (token.text[0].isupper() or shouted)
    if not is_name or token.norm in _VEHICLE_NOUNS or _has_meaning(document, first):
        return first
    last = first + 1
    if last < len(tokens) and tokens[last].kind == "number" and tokens[last].start == tokens[first].end:
        last += 1
    return last


def _has_meaning(document: Document, index: int) -> bool:
    """True for a word that the pack knows as a part, a value or work."""
    kinds = ("part", "value", "work", "modification", "use", "implies")
    return any(m.first <= index < m.last for kind in kinds for m in document.of_kind(kind))

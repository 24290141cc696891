"""Ways to say the same otherwise: each turns a labelled question into another with labels that move along."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from random import Random

from rapidfuzz import fuzz

from eval.labels import Labelled, ToldFact
from triage.language import Document, Mention
from triage.language.numbers import spelt
from triage.language.tokens import Token
from triage.model import Standing
from triage.pack import Pack

KM_PER_MILE = 1.609344
MM_PER_INCH = 25.4
_TAIL = 3  # letters of what tells which of a model
_TAIL_MOST = 20  # a larger figure is the volts
_LIKE_A_NAME = 75  # of 100: a misspelt name
NOISE = 0.12  # share of the longer words that are mistyped
_HEADS = "Bran Cor Dul Fen Gar Hol Ist Jor Kel Lom Mar Nor Orb Pel Quar Rus Sel Tor Ulm Var Wel Yar Zel Brom".split()
_MIDDLES = ("a", "o", "e", "en", "ing", "er", "")
_TAILS = "dale wick more vane quist ley tane row bury ick holt mere gard stow lund brook".split()
_MODELS = (
    "Hopper Amble Badger Wander Puffin Bumble Tumble Saunter Thistle Gable".split(),
    "Otter Heron Mallow Clover Hamper Stoat Dawdle Pebble Acorn Linnet".split(),
)
GREETINGS = (
    "Hello, I hope you are all well.", "hi there, long time since we spoke.", "Good day and thanks for reading this.",
)  # fmt: skip
STORIES = (
    "My sister was here with her two boys on Saturday and it rained all day.",
    "We are out by the lake and the nearest shop is forty minutes away.",
    "I am 71 and my knees are not what they were.",
    "The dog had chewed the seat cover by then, so we stayed in.",
)  # fmt: skip
SHOPPING = (
    "Do you also sell seat covers, and how long is delivery?", "What do you charge for an hour of work?",
    "Please send me your price list as well.", "Are you open on Saturdays?",
)  # fmt: skip
_KEYS = {"a": "s", "e": "r", "i": "o", "o": "p", "r": "t", "t": "y", "n": "m", "s": "d", "l": "k", "c": "v"}
_WORD = re.compile(r"[A-Za-z]{5,}")
_SMALL = re.compile(
    r"(?<![\w.,/'’\-:#+$£€])(\d{1,2})(?=(?: ?(?:v|volts?|amps?|inch|mph))?(?:[ .,;!?)]|$))(?![.,]\d)(?! ?[x×/])"
)
_DECIMAL = re.compile(r"(?<![\w.,/'’\-])(\d{1,2})\.(\d{1,2})(?!\.?\w|[-/])")
_JOINED = re.compile(r"(\d) (v|volts?|amps?|inch|mph|mm|cm|km/h)\b", re.IGNORECASE)
_TIMES = re.compile(r"(\d) ?x ?(\d+) ?(v)\b", re.IGNORECASE)
_MARK = re.compile(r"(?<![^\s\w])[,;:!?()\"“”.–—]+(?=\s|$)|(?:(?<=\s)|^)[,;:!?()\"“”.–—]+")
_LENGTH = re.compile(
    r"(?<![\w.,/\-])(\d+(?:\.\d+)?)[ -]?(inch(?:es)?|in)\b(?=[^\n]{0,12}(?:lift|spacer))", re.IGNORECASE
)
_SPEED = re.compile(r"(?<![\w.,/\-])(\d+(?:\.\d+)?) ?mph\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Given:
    """A labelled question as its own shop's reader annotates it."""

    label: Labelled
    document: Document
    pack: Pack
    random: Random
    seed: int = 1


Change = Callable[[Given], Labelled]


def _with(given: Given, text: str, facts: Iterable[ToldFact] | None = None) -> Labelled:
    label = given.label
    return replace(label, text=text, facts=label.facts if facts is None else list(facts))


def lower_without_marks(given: Given) -> Labelled:
    """As speech-to-text writes: small letters, no marks but those inside a word or number."""
    return _with(given, " ".join(_MARK.sub(" ", given.label.text).lower().split()))


def capitals(given: Given) -> Labelled:
    """All capitals."""
    return _with(given, given.label.text.upper())


def mistyped(given: Given) -> Labelled:
    """A letter dropped, doubled, swapped or missed in some longer words; names and their like are left alone."""
    kept = {word for mention in names_in(given.document) for word in _words_of(given.document, mention)}
    kept |= {word.lower() for fact in given.label.facts for word in str(fact.value).split()}
    random = given.random

    def typed(match: re.Match[str]) -> str:
        word = match[0]
        return word if word.lower() in kept or random.random() > NOISE else _slip(word, random)

    return _with(given, _WORD.sub(typed, given.label.text))


def _slip(word: str, random: Random) -> str:
    place = random.randrange(1, len(word) - 1)
    kind = random.choice(("vowel", "double", "swap", "key"))
    if kind == "vowel":
        vowels = [i for i in range(1, len(word)) if word[i] in "aeiou"]
        place = random.choice(vowels) if vowels else place
        return word[:place] + word[place + 1 :]
    if kind == "double":
        return word[:place] + word[place] + word[place:]
    if kind == "swap":
        return word[:place] + word[place + 1] + word[place] + word[place + 2 :]
    return word[:place] + _KEYS.get(word[place], word[place]) + word[place + 1 :]


def joined_units(given: Given) -> Labelled:
    """ "48 volt" as "48volt", "6 x 8 V" as "6x8v"."""
    return _with(given, _JOINED.sub(r"\1\2", _TIMES.sub(r"\1x\2\3", given.label.text)))


def american(given: Given) -> Labelled:
    """British words told as American ones, by the pack's own list."""
    return _with(given, _worded(given.label.text, given.pack.words.spelling))


def british(given: Given) -> Labelled:
    """American words told as British ones; "gas" and "ground" have too many meanings."""
    table = {us: uk for uk, us in given.pack.words.spelling.items() if us not in ("gas", "ground", "meter", "hood")}
    return _with(given, _worded(given.label.text, table))


def _worded(text: str, table: dict[str, str]) -> str:
    def other(match: re.Match[str]) -> str:
        return _cased(match[0], table.get(match[0].lower(), match[0]))

    return re.sub(r"[A-Za-z]+", other, text)


def _cased(like: str, word: str) -> str:
    if like.isupper() and len(like) > 1:
        return word.upper()
    return word.title() if like[:1].isupper() else word.lower()


def number_words(given: Given) -> Labelled:
    """Figures of one or two digits, and decimals, in words."""
    text = _DECIMAL.sub(lambda m: f"{spelt(int(m[1]))} point {' '.join(spelt(int(d)) for d in m[2])}", given.label.text)
    return _with(given, _SMALL.sub(_told, text))


def _told(match: re.Match[str]) -> str:
    rest = match.string[match.end() : match.end() + 1]
    return spelt(int(match[1])) + (" " if rest.isalpha() else "")


def figures(given: Given) -> Labelled:
    """Number words as figures."""
    table = {spelt(number): str(number) for number in range(2, 100)}
    longest = sorted(table, key=len, reverse=True)
    pattern = re.compile(rf"\b(?<!point )({'|'.join(longest)})\b(?! point| hundred| thousand)", re.IGNORECASE)
    if re.search(r"\b(point|hundred|thousand|oh|dozen|half|quarter|fifty eight)\b", given.label.text, re.IGNORECASE):
        return given.label
    return _with(given, pattern.sub(lambda m: table[m[1].lower()], given.label.text))


def between(sentences: Sequence[str], place: str) -> Change:
    """A sentence that tells nothing of the vehicle, put before, after or between."""

    def change(given: Given) -> Labelled:
        extra, text = given.random.choice(sentences), given.label.text.strip()
        if place == "before":
            return _with(given, f"{extra} {text}")
        if place == "after":
            return _with(given, f"{text}{'' if text[-1:] in '.!?' else '.'} {extra}")
        cuts = [span.end for span in given.document.sentences if given.label.text[span.end - 1] in ".!?"][:-1]
        if not cuts:
            return given.label
        cut = given.random.choice(cuts)
        return _with(given, f"{given.label.text[:cut]} {extra}{given.label.text[cut:]}")

    return change


def decimal_commas(given: Given) -> Labelled:
    """ "6.3" as "6,3"."""
    return _with(given, _DECIMAL.sub(r"\1,\2", given.label.text))


def metric(given: Given) -> Labelled:
    """Speeds in km/h, and lifts and spacers in mm; the labels keep what they were."""
    speeds = _SPEED.sub(lambda m: f"{float(m[1]) * KM_PER_MILE:.1f} km/h", given.label.text)
    return _with(given, _LENGTH.sub(lambda m: f"{float(m[1]) * MM_PER_INCH:.0f} mm", speeds))


def names_in(document: Document) -> list[Mention]:
    """The names of vehicles told, the longest at each place."""
    found: list[Mention] = []
    for mention in sorted(document.of_kind("name"), key=lambda m: (m.first, -m.last)):
        if not found or mention.first >= found[-1].last:
            found.append(mention)
    return found


def _words_of(document: Document, mention: Mention) -> Iterator[str]:
    yield from (document.tokens[i].text.lower() for i in range(mention.first, mention.last))


def invented(given: Given) -> Labelled:
    """Every name of a vehicle replaced by one that no shop lists: a make alone, or a make with its model.

    Makes are put together anew for each question; models are ordinary words, another ten for every other seed.
    """
    random = given.random
    makes = {vehicle.make: _make(random) for vehicle in given.pack.vehicles}
    words = random.sample(_MODELS[given.seed % 2], k=10)
    heads = sorted({vehicle.model.split()[0] for vehicle in given.pack.vehicles})
    paired = {head: words[place % 10] for place, head in enumerate(heads)}
    on_lines = re.search(r"\b(make|model|brand)\b", given.label.text, re.IGNORECASE)  # a form: one name a line
    pairs = 0.0 if on_lines else 0.5
    models = {head: f"{_make(random)} {paired[head]}" if random.random() < pairs else _make(random) for head in heads}
    return _renamed(given, makes, models, paired)


def _make(random: Random) -> str:
    return random.choice(_HEADS) + random.choice(_MIDDLES) + random.choice(_TAILS)


def as_written(given: Given) -> Labelled:
    """The text as it is, with names labelled as the asker wrote them: for the pack of another shop."""
    return _renamed(given, {}, {}, {})


def _renamed(given: Given, makes: dict[str, str], alone: dict[str, str], paired: dict[str, str]) -> Labelled:
    """Names in the text replaced word by word, and labelled as they then stand; what only the catalogue adds goes.

    `alone` are new names for models told without their make, `paired` for those told with it.
    """
    typed: dict[str, str] = {}
    document = given.document
    told = [list(_name_words(given.pack, document, mention)) for mention in names_in(document)]
    known = {vehicle.make for vehicle in given.pack.vehicles}
    with_make = {i + 1 for words in told for i, name in words if name in known}
    edits: list[tuple[int, int, str]] = []
    for index, name in (word for words in told for word in words):
        table = makes if name in known else paired if index in with_make else alone
        token = document.tokens[index]
        word = _cased(token.text, table[name]) if name in table else token.text
        edits.append((token.start, token.end, word))
        typed.setdefault(name, word)
    if alone:
        edits += [(token.start - 1, token.end, "") for token in _tails(document, told)]
    text = _edited(given.label.text, edits)
    facts = [fact for fact in given.label.facts if fact.standing is not Standing.INFERRED]
    return _with(given, text, [new for fact in facts for new in _relabelled(fact, typed)])


def _edited(text: str, edits: Iterable[tuple[int, int, str]]) -> str:
    for start, end, word in sorted(edits, reverse=True):
        text = text[:start] + word + text[end:]
    return text


def _tails(document: Document, told: Sequence[Sequence[tuple[int, str]]]) -> Iterator[Token]:
    """The "Li" or "2" after a name: it belongs to the name that was replaced."""
    last = {words[-1][0]: mention.last for words, mention in zip(told, names_in(document), strict=True) if words}
    for index, end in last.items():
        for place, token in enumerate(document.tokens[index + 1 : end], start=index + 1):
            glued = document.text[token.start - 1] not in " -"
            means = document.between("value", place, place)
            if (
                len(token.text) <= _TAIL
                and not glued
                and not means
                and not (token.text.isdecimal() and int(token.text) > _TAIL_MOST)
            ):
                yield token


def _name_words(pack: Pack, document: Document, mention: Mention) -> Iterator[tuple[int, str]]:
    """The words of a mention that are a make or the first word of a model, each with what it stands for."""
    makes, models = mention.entry.value.split("\t") if mention.entry.key == "make_model" else ("", "")
    make = mention.entry.value if mention.entry.key == "make" else makes
    model = mention.entry.value if mention.entry.key == "model" else models
    for index in range(mention.first, mention.last):
        near = [name for name in (make, model.split()[0] if model else "") if _alike(document.norm(index), name)]
        if near:
            yield index, near[0]


def _alike(word: str, name: str) -> bool:
    return bool(name) and fuzz.ratio(word, name.lower()) >= _LIKE_A_NAME


def _relabelled(fact: ToldFact, typed: dict[str, str]) -> Iterator[ToldFact]:
    """A name as it is typed now; one of two words is a make and its model."""
    name = typed.get(str(fact.value)) or typed.get(str(fact.value).split()[0])
    if fact.name not in ("make", "model") or name is None:
        yield fact
        return
    make, _, model = name.rpartition(" ")
    if make:
        yield replace(fact, name="make", value=make)
    yield replace(fact, value=model)


CHANGES: dict[str, Change] = {
    "invented names": invented,
    "another shop's pack": as_written,
    "no marks": lower_without_marks,
    "capitals": capitals,
    "mistyped": mistyped,
    "joined units": joined_units,
    "american": american,
    "british": british,
    "number words": number_words,
    "figures": figures,
    "greeting before": between(GREETINGS, "before"),
    "story before": between(STORIES, "before"),
    "story between": between(STORIES, "between"),
    "shopping after": between(SHOPPING, "after"),
    "decimal comma": decimal_commas,
    "metric": metric,
}  # fmt: skip

"""Words that are no names, words that are, and how a word stands in its text."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files

from triage.language.private_found import Particulars

WORD = r"[^\W\d_]+(?:['’-][^\W\d_]+)*"
ANY = re.compile(WORD)
ORDINARY = frozenset(
    """a about after again all am an and any anybody anyone anything are as at aye back battery batteries because been
    before both but by can car cart carts caravan chaps charger cheers christmas club controller could customer dad
    dear did do does done each easter either electric england english evening everybody everyone everything fine
    folk folks for friday from gas gents gentlemen golf good google great guys had has have he hello help her here
    hey hi hiya his hope how i if in is it its january february march april may june july august september october
    november december just kind ladies lads last later like lovely ma'am madam mail manager many me mechanic monday
    more morning motor mr mrs ms much mum my name new nice no nobody nope not now of off ok okay old on one only or
    our ours out owner petrol phone please plenty pop regards reader readers sales saturday say see em guess said
    says sent service she sir sirs shop should simply since sir so some somebody someone something sorry staff still
    such sunday sure sincerely team technician than thank thanks that the their them then there these they thing
    this those though thursday thx time to today tomorrow tuesday two up us very was we wednesday well were what
    when where which while who why will with won wonder work workshop would yeah yep yes yet you young your yours
    faithfully best kindest warm warmest wishes cordially respectfully appreciated advance everyone's crew support
    office desk experts expert pros technical tech parts department dept counter driver members neighbour neighbours
    wife husband always never also ever maybe perhaps number address link mail left right front rear first second
    third next three four five six seven eight nine ten half full empty hot cold dead slow fast stuck broke broken
    new used happy lost hoping looking trying having getting going wondering writing asking thinking afraid unsure
    certain confused curious done ready told based american british canadian irish scottish welsh german french
    dutch australian amp amps volt volts mph tow run forward reverse lithium lead acid solenoid switch key pedal
    brake brakes tyre tyres tire tires wheel wheels fuse wire wires cable cables meter plate serial manual dealer
    seller garage course forum postscript ps p.s re fwd attached attachment photo photos picture pictures
    video""".split()
)


def starts(text: str, at: int) -> bool:
    """True at the start of a sentence or line, where every word has a capital."""
    before = text[:at].rstrip(" \t\"'“‘(*-•")
    return not before or before[-1] in ".!?:\n;"


def shouts(text: str) -> bool:
    """True where capitals tell nothing: most words of the text have one."""
    words = [word for word in ANY.findall(text) if len(word) > 1]
    capitals, whole = sum(word[0].isupper() for word in words), sum(word.isupper() for word in words)
    return (len(words) > 2 and whole > 0.6 * len(words)) or (len(words) > 5 and capitals > 0.6 * len(words))


def unowned(name: str) -> str:
    """Without the possessive: what stands in its place may own things too."""
    return name.removesuffix("'s").removesuffix("’s")


def stays(low: str, known: Particulars) -> bool:
    """True for a word of the language or the trade, and its short forms ("I'm", "it's")."""
    return low in ORDINARY or low in known.keep or re.split("['’]", low)[0] in ORDINARY


def bare(word: str) -> str:
    """In lower case, without what hangs on it and without the possessive."""
    return word.lower().strip(" .,'’").removesuffix("'s").removesuffix("’s")


def known_words(known: Particulars) -> frozenset[str]:
    """The parts of the names we know."""
    return frozenset(bare(word) for name in known.names for word in ANY.findall(name) if len(word) > 1)


@cache
def _lists() -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
    text = files("triage.language").joinpath("given_names.txt").read_text("utf-8")
    sure, rest = text.partition("[names]")[2].split("[also words]")
    also, capital = rest.split("[with a capital]")
    return frozenset(sure.split()), frozenset(also.split()), frozenset(capital.split())


def names() -> frozenset[str]:
    """Given names that are nothing else: a name in any writing."""
    return _lists()[0]


def also() -> frozenset[str]:
    """Given names that are words as well ("Will"): a name with a capital, where no sentence begins."""
    return _lists()[1]


def with_capital() -> frozenset[str]:
    """Given names that without a capital are a word of the trade or the language."""
    return _lists()[2]

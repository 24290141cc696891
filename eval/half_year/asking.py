"""The hidden generator: who asks what, when, about which vehicle, in which words; nothing the program ever sees."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import yaml

from triage.pack import Pack, applies
from triage.pack.schema import Answer, Vehicle

HERE = Path(__file__).parent
WEEKS = 26
START = date(2026, 1, 5)  # a Monday
SHARES = {"missing": 0.42, "known": 0.53, "elsewhere": 0.05}
LATEST_START = 12  # a missing matter is first asked about in one of the weeks up to this
FIRST_NAMES = (
    "Alma Bert Cora Dov Edda Finn Greta Hugo Iris Jonas Kaja Lorne Maud Nils Orla Perry Ruth Sven Tilda Udo".split()
)
LAST_NAMES = (
    "Abbot Birch Croft Dale Elm Fenner Gorse Heath Ivory Juniper Kerrow Larch Marsh Nettle Orchard Pine".split()
)
OPENERS = (
    "Hello,", "Hi there,", "Good morning.", "hi", "Dear workshop,", "Hey guys", "Good evening, I hope you can help.",
    "A quick one:", "I have been listening to the Thursday hour for years.", "Second try, my first mail got lost.",
)  # fmt: skip
CLOSERS = (
    "Thanks!", "thanks in advance", "Any help appreciated.", "Cheers", "Regards", "I'd be grateful for a quick answer.",
    "We need it for the weekend.", "sent from the barn", "No hurry.", "My wife says sell it.",
)  # fmt: skip
VEHICLES = (
    "I have a {year} {make} {model}.", "{year} {model}", "It's a {make} {model} from {year}.", "{model} {year} here.",
    "My cart: {make} {model}, {year}.", "We run a {year} {make} {model} on the farm.",
    "bought a used {make} {model} ({year}) last spring", "The cart is a {make} {model}, year {year} I think.",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Asked:
    """One question, with what only the generator knows: the answer that is right ("" for other post)."""

    number: int
    at: datetime
    week: int
    asker: str
    text: str
    answer: str
    vehicle: Vehicle | None
    year: int


@dataclass(frozen=True)
class Matters:
    """The wordings, by the answer that is right for them."""

    missing: Mapping[str, Sequence[str]]
    known: Mapping[str, Sequence[str]]
    elsewhere: Sequence[str]


def matters() -> Matters:
    """The wordings as written in the data files."""
    files = ("missing", "known", "elsewhere")
    return Matters(*(yaml.safe_load((HERE / f"{name}.yaml").read_text(encoding="utf-8")) for name in files))


def half_year(pack: Pack, count: int, seed: int) -> list[Asked]:
    """So many questions in the order of their arrival; the same for the same seed."""
    dice = random.Random(seed)
    told, answers = matters(), {answer.id: answer for answer in pack.answers}
    starts = {id: max(0, dice.randint(-LATEST_START, LATEST_START)) for id in told.missing}
    often = {id: dice.choice((1, 1, 2, 2, 3, 5)) for id in (*told.missing, *told.known)}
    moments = sorted(_moment(dice) for _ in range(count))
    return [_asked(n, at, told, answers, starts, often, pack, dice) for n, at in enumerate(moments, start=1)]


def _moment(dice: random.Random) -> datetime:
    day = START + timedelta(days=dice.randrange(7 * WEEKS))
    return datetime(day.year, day.month, day.day, dice.randrange(7, 22), dice.randrange(60), tzinfo=UTC)


def week_of(at: datetime) -> int:
    """0 for the first week."""
    return (at.date() - START).days // 7


def _asked(
    number: int,
    at: datetime,
    told: Matters,
    answers: Mapping[str, Answer],
    starts: Mapping[str, int],
    often: Mapping[str, int],
    pack: Pack,
    dice: random.Random,
) -> Asked:
    week, asker = week_of(at), f"{dice.choice(FIRST_NAMES)} {dice.choice(LAST_NAMES)}"
    kind = dice.choices(list(SHARES), list(SHARES.values()))[0]
    if kind == "elsewhere":
        return Asked(number, at, week, asker, _letter(dice.choice(told.elsewhere), "", dice), "", None, 0)
    wordings = told.known if kind == "known" else {id: w for id, w in told.missing.items() if starts[id] <= week}
    id = dice.choices(list(wordings), [often[name] for name in wordings])[0]
    vehicle = dice.choice(vehicles_of(answers[id], pack.vehicles))
    year = dice.randint(*years_of(answers[id], vehicle))
    named = dice.random() < (0.9 if is_limited(answers[id]) else 0.65)
    car = dice.choice(VEHICLES).format(year=year, make=vehicle.make, model=vehicle.model) if named else ""
    return Asked(number, at, week, asker, _letter(dice.choice(wordings[id]), car, dice), id, vehicle, year)


def is_limited(answer: Answer) -> bool:
    """True for an answer that only some makes, models or voltages have."""
    scope = answer.applies_to
    return bool(scope.makes or scope.models or scope.voltages or scope.chemistries or scope.year_from or scope.year_to)


def vehicles_of(answer: Answer, vehicles: Sequence[Vehicle]) -> list[Vehicle]:
    """The catalogue's vehicles an answer is for, with a model year that both have."""
    return [v for v in vehicles if applies(answer.applies_to, v) and years_of(answer, v)[0] <= years_of(answer, v)[1]]


def years_of(answer: Answer, vehicle: Vehicle) -> tuple[int, int]:
    """The model years that both the answer and the vehicle have."""
    scope = answer.applies_to
    first = max(vehicle.year_from or 1996, scope.year_from or 0)
    return first, min(vehicle.year_to or 2025, scope.year_to or 9999)


def _letter(wording: str, car: str, dice: random.Random) -> str:
    """What arrives: the wording, the vehicle before or after it, courtesies, and slips of typing."""
    core = [car, wording] if dice.random() < 0.6 else [wording, car]
    opener = dice.choice(OPENERS) if dice.random() < 0.35 else ""
    closer = dice.choice(CLOSERS) if dice.random() < 0.35 else ""
    text = " ".join(part if part[-1] in ".!?,:" else part + "." for part in (opener, *core, closer) if part)
    return slipped(text, dice) if dice.random() < 0.3 else text


def slipped(text: str, dice: random.Random) -> str:
    """A few slips of fingers in plain words; names, figures and short words stay as they are.

    >>> slipped("It is a 48 V cart", random.Random(1))
    'it is a 48 v cart'
    """
    words = text.split(" ")
    long = [place for place, word in enumerate(words) if len(word) > 5 and word.isalpha() and word.islower()]
    for place in dice.sample(long, min(len(long), dice.choice((0, 1, 1, 2)))):
        words[place] = _slip(words[place], dice)
    joined = " ".join(words)
    return joined.lower().replace("'", "") if dice.random() < 0.5 or not long else joined


def _slip(word: str, dice: random.Random) -> str:
    at = dice.randrange(1, len(word) - 2)
    swapped = word[:at] + word[at + 1] + word[at] + word[at + 2 :]
    return dice.choice((swapped, word[:at] + word[at + 1 :], word[:at] + word[at] + word[at:]))

"""The shape of a knowledge pack: frozen records, checked when built; an unknown key is refused."""

from __future__ import annotations

from dataclasses import field
from typing import Annotated, Literal

from pydantic import ConfigDict, Field, StringConstraints
from pydantic.dataclasses import dataclass

from triage.model import Signal

_STRICT = ConfigDict(extra="forbid")

# Any short name on one line that needs no quotes in a list: shops bring ids like "A-017" or "BAT 12".
Id = Annotated[str, StringConstraints(pattern=r"^[^\W_](?:[\w .:/+&#()'-]*[\w.+)])?$", max_length=80)]
Text = Annotated[str, StringConstraints(min_length=1, strip_whitespace=True)]
Powertrain = Literal["electric", "petrol"]
Chemistry = Literal["flooded", "agm", "gel", "lithium"]
Intent = Literal["diagnose", "may_i", "which_part", "how_to", "size", "identify", "other"]
Condition = dict[str, list[str]]  # fact id -> values of which one must hold; all facts must


@dataclass(frozen=True, config=_STRICT)
class FactKind:
    """trade/facts.yaml: one kind of fact, and how to ask for it."""

    id: Id
    label: Text  # as written in a reply: "pack voltage"
    kind: Literal["number", "choice", "text", "list"]
    ask: Text = ""  # one friendly question; empty for facts never asked for
    find_out: str = ""  # how the asker finds out
    unit: str = ""
    values: list[str] = field(default_factory=list)  # usual values, as text
    low: float | None = None  # plausible range of a number
    high: float | None = None
    effort: Annotated[int, Field(ge=1, le=5)] = 2  # 1 a glance ... 5 tools and an hour
    danger: bool = False  # finding out means touching something that can hurt
    place: str = ""  # where it is found out: facts of one place are asked for together
    tellable: Annotated[float, Field(gt=0, le=1)] = 0.8  # share of askers who can tell when asked
    usual: dict[str, Annotated[float, Field(gt=0, lt=1)]] = field(default_factory=dict)  # P(value), not in a catalogue
    follows: list[str] = field(default_factory=list)  # symptoms that make it worth asking for, whatever the answer
    aside: bool = False  # decides nothing by itself: only asked for where the likely answer branches on it
    repeats: bool = False
    offers: list[Text] = field(default_factory=list)  # values that `ask` offers, in its order; "a|b" for either
    if_yes: str = ""  # the value that a bare yes to `ask` tells
    if_no: str = ""
    told: dict[str, list[Text]] = field(default_factory=dict)  # value -> words that tell it in an answer to `ask`
    source: str = ""


@dataclass(frozen=True, config=_STRICT)
class Symptom:
    """trade/symptoms.yaml: component x misbehaviour x circumstance."""

    id: Id
    label: Text  # "clicks but does not move"
    component: Text
    misbehaviour: Text
    powertrain: Literal["electric", "petrol", "any"] = "any"
    circumstance: str = ""
    phrases: list[Text] = field(default_factory=list)  # words that tell it, in order, within a clause
    examples: list[Text] = field(default_factory=list)  # whole sentences, for recognition by meaning
    unlike: list[Text] = field(default_factory=list)  # sounds alike or stands beside it, and tells no symptom
    also: list[str] = field(default_factory=list)  # symptoms that are told with it, where their `when` holds
    when: Condition = field(default_factory=dict)  # only possible when these facts do not speak against
    one_below: Annotated[float, Field(gt=0, lt=1)] | None = None  # told by a list of readings, one this share below
    leak: Annotated[float, Field(gt=0, lt=1)] = 0.01  # P(symptom | none of the listed causes)


@dataclass(frozen=True, config=_STRICT)
class Cause:
    """trade/causes.yaml: what can be wrong."""

    id: Id
    label: Text
    prior: Annotated[float, Field(gt=0, lt=1)]  # among vehicles of its powertrain that are asked about
    symptoms: dict[str, Annotated[float, Field(gt=0, lt=1)]]  # P(cause alone shows the symptom)
    powertrain: Literal["electric", "petrol", "any"] = "any"
    when: Condition = field(default_factory=dict)  # only possible when these facts do not speak against
    parts: list[str] = field(default_factory=list)  # replacing one of these makes it less likely
    source: str = "common practice, no source"


Reading = Literal[
    "one_low_unit", "units_alike", "pack_flat", "pack_charged", "pack_sags", "gravity_uneven", "gravity_low"
]  # fmt: skip


@dataclass(frozen=True, config=_STRICT)
class Finding:
    """trade/evidence.yaml: something told or measured that makes causes likelier or less likely."""

    id: Id
    label: Text
    ratios: dict[str, Annotated[float, Field(gt=0)]]  # cause id -> P(finding | cause) / P(finding | any other fault)
    fact: str = ""  # the fact that tells it: one of `values`, or a number from `low` to `high`
    values: list[str] = field(default_factory=list)
    low: float | None = None
    high: float | None = None
    reading: Reading | None = None  # what measurements come to, worked out by physics
    unless: list[str] = field(default_factory=list)  # symptoms that tell the same, so that it does not count twice
    share: Annotated[float, Field(gt=0, lt=1)] = 0.5  # P(finding) among faults it has no ratio for
    source: str = "common practice, no source"


@dataclass(frozen=True, config=_STRICT)
class Outcome:
    """What one finding of a check means."""

    finding: Text
    means: Text
    cause: str = ""  # cause id it speaks for; "" when the check clears what it examined


@dataclass(frozen=True, config=_STRICT)
class Check:
    """trade/checks.yaml: one thing to inspect or measure."""

    id: Id
    label: Text
    text: Text  # the instruction as it goes into a reply, one to three sentences
    minutes: Annotated[float, Field(gt=0)]
    causes: list[str]  # cause ids it examines
    outcomes: list[Outcome]
    tools: list[str] = field(default_factory=list)
    who: Literal["owner", "workshop"] = "owner"
    powertrain: Literal["electric", "petrol", "any"] = "any"
    when: Condition = field(default_factory=dict)
    hazards: list[str] = field(default_factory=list)
    source: str = "common practice, no source"


@dataclass(frozen=True, config=_STRICT)
class Hazard:
    """trade/hazards.yaml: a way to get hurt."""

    id: Id
    label: Text
    signal: Signal
    note: Text  # one or two sentences, as they go into a reply (without the signal word)
    short: Text  # for chat and for reading aloud
    at_work: str = ""  # the note where steps of a reply bring it in, or it only sounds like it; empty = the notes above
    stop: bool = False  # reported as happening: stop using the vehicle now
    urgent: bool = False  # reported as happening: a person must look first
    emergency: bool = False  # reported as happening: everybody away, and the emergency services
    deadly_plan: bool = False  # planned is as pressing as reported: charging a frozen battery
    phrases: list[Text] = field(default_factory=list)  # tell that it happens
    plans: list[Text] = field(default_factory=list)  # tell that the asker is about to do it, or asks how
    examples: list[Text] = field(default_factory=list)  # told in passing, in odd words
    calm: list[Text] = field(default_factory=list)  # sounds alike and is harmless
    facts: list[Condition] = field(default_factory=list)  # any of these sets of facts
    aliases: list[Text] = field(default_factory=list)  # other names met in spreadsheets
    powertrain: Literal["electric", "petrol", "any"] = "any"
    source: str = "common practice, no source"


@dataclass(frozen=True, config=_STRICT)
class Limit:
    """trade/limits.yaml: a margin or limit that tells what fits together from what does not."""

    id: Id
    label: Text
    value: float
    source: Text
    unit: str = ""


@dataclass(frozen=True, config=_STRICT)
class Clue:
    """trade/clues.yaml: words that tell a small fact which only matters where facts are held against each other."""

    id: Id
    fact: Id
    phrases: list[Text]  # words side by side; "a|b" for either
    value: str = ""  # empty when `counted`; a number when there is a unit
    unit: str = ""
    counted: bool = False  # the value is the number told just before
    gaps: bool = False  # the words may stand a few words apart within a sentence
    covers: list[str] = field(default_factory=list)  # facts that the same words do not tell


@dataclass(frozen=True, config=_STRICT)
class Excuse:
    """trade/excuses.yaml: a change made to a vehicle, and the facts it takes away from the catalogue."""

    id: Id  # as read: "lithium conversion", "battery replaced", "controller modified"
    explains: list[str]
    source: str = "common practice, no source"


@dataclass(frozen=True, config=_STRICT)
class Calm:
    """trade/calm.yaml: what askers write every day and nobody gets hurt by, for recognition by meaning."""

    id: Id
    sentences: list[Text]


@dataclass(frozen=True, config=_STRICT)
class Told:
    """trade/told.yaml: how people tell a danger in words of their own; the id is the hazard's.

    A record without sentences may have any id: it holds what stands around dangers and tells none.
    """

    id: Id
    sentences: list[Text] = field(default_factory=list)
    unlike: list[Text] = field(default_factory=list)


@dataclass(frozen=True, config=_STRICT)
class SymptomTold:
    """trade/symptoms_told.yaml: how people tell a symptom in words of their own; the id is the symptom's.

    A record without sentences may have any id: it holds what tells no symptom at all.
    """

    id: Id
    sentences: list[Text] = field(default_factory=list)
    unlike: list[Text] = field(default_factory=list)


@dataclass(frozen=True, config=_STRICT)
class Aside:
    """trade/scope.yaml: a kind of post that no answer is for, for recognition by meaning."""

    id: Id
    reason: Text  # as told to the person who looks: "a complaint"
    examples: list[Text]
    person: bool = True  # somebody of the shop must see to it; otherwise it is told that nothing fits


@dataclass(frozen=True, config=_STRICT)
class Wanted:
    """trade/intents.yaml: what a message may want, told by whole messages; the id is the intent."""

    id: Id
    examples: list[Text]


GrowthKind = Literal[
    "opposite", "apart", "modal", "hedge", "plain", "same", "bound", "about",
    "claim", "unit", "depends", "aside", "worse", "wording",
]  # fmt: skip


@dataclass(frozen=True, config=_STRICT)
class GrowthWords:
    """trade/growth.yaml: words by which sentences of answers are held against each other, and replies made general."""

    id: Id
    kind: GrowthKind
    words: list[Text] = field(default_factory=list)
    other: list[Text] = field(default_factory=list)
    units: list[Text] = field(default_factory=list)
    parts: list[Text] = field(default_factory=list)
    share: Annotated[float, Field(gt=0, lt=1)] = 0.05  # by which two figures of a unit may differ
    assumed: bool = False  # of circumstances: where a sentence does not tell, it is as `words` say
    matter: bool = False  # of circumstances: told, they are part of what a sentence is about


@dataclass(frozen=True, config=_STRICT)
class SegmentNote:
    """trade/segment.yaml: what the weekly hour needs: seasons, safety tips, how people ask not to be read out."""

    id: Id
    kind: Literal["wording", "season", "tip", "private", "solved", "away"]
    says: list[Text] = field(default_factory=list)  # wording: alternatives; tip: as said; others: words that tell it
    months: list[Annotated[int, Field(ge=1, le=12)]] = field(default_factory=list)  # empty: all year
    symptoms: list[str] = field(default_factory=list)
    hazards: list[str] = field(default_factory=list)
    tags: list[Text] = field(default_factory=list)  # of answers
    weight: Annotated[float, Field(gt=0, le=1)] = 1.0
    source: str = "common practice, no source"


@dataclass(frozen=True, config=_STRICT)
class SpokenForm:
    """trade/spoken.yaml: how a unit, or a short form of the trade, is said aloud."""

    id: Id
    kind: Literal["unit", "word"]
    writes: list[Text]  # as it is written: "lb-ft", "ft·lb"
    says: Text  # one of it, and before a noun: "volt"
    many: str = ""  # more than one: "volts"; empty where it is the same
    source: str = "common practice, no source"


@dataclass(frozen=True, config=_STRICT)
class Source:
    """trade/sources.yaml: where a statement of the trade comes from."""

    id: Id
    title: Text
    kind: Literal["published", "common practice", "from memory"]
    note: str = ""


@dataclass(frozen=True, config=_STRICT)
class Vehicle:
    """shop/vehicles/*.md: one catalogue entry; the Markdown body is `notes`."""

    id: Id
    make: Text
    model: Text
    powertrain: Powertrain
    aliases: list[Text] = field(default_factory=list)
    year_from: Annotated[int, Field(ge=1950, le=2100)] | None = None
    year_to: Annotated[int, Field(ge=1950, le=2100)] | None = None  # None = still made
    pack_voltage: Annotated[float, Field(gt=0, le=200)] | None = None  # V; None for petrol
    batteries: Annotated[str, StringConstraints(pattern=r"^\d+x\d+(\.\d+)?$")] | None = None  # "6x8"
    battery_chemistry: Chemistry | None = None
    top_speed_mph: Annotated[float, Field(gt=0, le=60)] | None = None
    controller_type: str = ""
    controller_amps: Annotated[float, Field(gt=0, le=2000)] | None = None
    direction_switch: str = ""
    throttle_sensor: str = ""
    wheel_stud: str = ""
    tyre_size: str = ""
    charge_interlock: bool | None = None
    serial_pattern: str = ""  # regular expression of its serial numbers, if known
    notes: str = ""


@dataclass(frozen=True, config=_STRICT)
class AppliesTo:
    """The range of vehicles an answer is for; an empty list means any."""

    powertrain: Powertrain | None = None
    makes: list[Text] = field(default_factory=list)
    models: list[Text] = field(default_factory=list)
    voltages: list[float] = field(default_factory=list)
    chemistries: list[Chemistry] = field(default_factory=list)
    controllers: list[Text] = field(default_factory=list)  # stock, modified, or a kind: "series", "ac"
    year_from: int | None = None
    year_to: int | None = None


@dataclass(frozen=True, config=_STRICT)
class Answer:
    """shop/answers/*.md: one entry of the answer base; the Markdown body is `text`."""

    id: Id
    title: Text
    question: Text  # the canonical question
    text: Text = ""
    variants: list[Text] = field(default_factory=list)  # other ways it is asked
    applies_to: AppliesTo = field(default_factory=AppliesTo)
    needs: list[str] = field(default_factory=list)  # fact ids that decide within the answer
    hazards: list[str] = field(default_factory=list)
    follow_ups: list[Text] = field(default_factory=list)
    symptoms: list[str] = field(default_factory=list)
    causes: list[str] = field(default_factory=list)
    checks: list[str] = field(default_factory=list)
    intents: list[Intent] = field(default_factory=list)
    tags: list[Text] = field(default_factory=list)
    replaces: list[str] = field(default_factory=list)  # ids of answers this one took the place of
    source: str = "common practice, no source"
    author: str = ""
    reviewed: str = ""  # ISO date


@dataclass(frozen=True, config=_STRICT)
class CauseSeen:
    """shop/causes_seen.yaml: cases of the shop in which a cause was confirmed; the id is the cause's."""

    id: Id
    seen: list[Text] = field(default_factory=list)  # one line a case: "thread 12, 2026-11-25"


@dataclass(frozen=True, config=_STRICT)
class Shop:
    """shop/shop.yaml: who answers, and how they write."""

    name: Text
    mail: Text
    sign_off: Text = "Kind regards,"
    signer: str = ""
    phone: str = ""
    spelling: Literal["british", "american"] = "british"
    greeting: str = ""  # overrides the wording's greeting
    domains: list[str] = field(default_factory=list)  # the shop's own mail domains
    segment: str = ""  # name of the weekly Q&A segment
    reminder_days: Annotated[int, Field(ge=1)] = 5
    two_for_hazards: bool = False  # two persons must agree before an answer with hazards is taken into the base
    extends: str = ""  # another pack, relative to this one, whose shop part this one adds to

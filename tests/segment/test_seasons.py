"""What is in season, and which tip is said."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from jinja2 import Environment, meta
from toys import fact

from triage.model import HazardNote, Match, Reading, Signal, Span
from triage.pack import Pack
from triage.reply.wording import Phrasebook
from triage.segment.seasons import REST_WEEKS, season_of, tip_for

NOVEMBER, JULY = date(2026, 11, 26), date(2027, 7, 1)


@pytest.mark.parametrize(
    ("reading", "day", "weight"),
    [
        pytest.param(Reading("q", matches=(Match("battery-winter-storage", 0.9),)), NOVEMBER, 1.0, id="by its answer"),
        pytest.param(Reading("q", matches=(Match("battery-winter-storage", 0.9),)), JULY, 0.0, id="out of season"),
        pytest.param(Reading("q", facts=(fact("symptom", "hard_cold_start"),)), NOVEMBER, 0.7, id="by a symptom"),
        pytest.param(
            Reading("q", hazards=(HazardNote("frozen_battery", Signal.WARNING, "", span=Span(0, 1)),)),
            NOVEMBER, 1.0, id="by a danger told",
        ),
        pytest.param(
            Reading("q", hazards=(HazardNote("frozen_battery", Signal.WARNING, ""),)), NOVEMBER, 0.0, id="only possible"
        ),
        pytest.param(Reading("q"), NOVEMBER, 0.0, id="nothing"),
    ],
)  # fmt: skip
def test_how_much_a_question_is_in_season(reading: Reading, day: date, weight: float, pack: Pack):
    found, names = season_of(reading, day, pack)
    assert found == weight
    assert bool(names) is bool(weight)


def test_the_tip_is_tied_to_the_programmes_hazards(pack: Pack):
    tip = tip_for(["raised_vehicle", "raised_vehicle", "acid"], JULY, pack, {})
    assert tip is not None and tip.id == "tip_jack"


def test_a_tip_rests_after_it_was_said(pack: Pack):
    hazards = ["raised_vehicle", "raised_vehicle", "acid"]
    used = {"tip_jack": JULY - timedelta(weeks=1)}
    lately, rested = (
        tip_for(hazards, JULY, pack, used),
        tip_for(hazards, JULY + timedelta(weeks=REST_WEEKS), pack, used),
    )
    assert lately is not None and lately.id == "tip_acid"
    assert rested is not None and rested.id == "tip_jack"


def test_a_winter_tip_is_not_said_in_summer(pack: Pack):
    summer, winter = (tip_for(["frozen_battery"] * 3, day, pack, {}) for day in (JULY, NOVEMBER))
    assert summer is not None and summer.id != "tip_frozen_battery"
    assert winter is not None and winter.id == "tip_frozen_battery"


def test_every_hazard_of_the_trade_but_few_has_a_tip(pack: Pack):
    tied = {name for note in pack.segment.values() if note.kind == "tip" for name in note.hazards}
    assert pack.hazards.keys() - tied == {"person_hurt", "battery_weight"}


def test_every_tip_names_its_source_and_every_phrase_can_be_said(pack: Pack):
    book, given = (
        Phrasebook(pack),
        set("segment count topics tip who cart trouble question label choices value".split()),
    )
    for note in pack.segment.values():
        if note.kind == "tip":
            assert note.source in pack.sources or note.source in ("common practice, no source", "from memory")
        for text in note.says if note.kind == "wording" else ():
            wanted = meta.find_undeclared_variables(Environment().parse(text)) | given
            assert book.say(note.id, **dict.fromkeys(wanted, "x"))

"""Numbers, units, sizes and codes as they are said."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.language.aloud import spoken
from triage.language.numbers_aloud import whole
from triage.pack import load

PACK = load(Path(__file__).parents[2] / "knowledge")


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("a 36 V pack", "a thirty-six volt pack"),
        ("it rests at 38.2 V", "it rests at thirty-eight point two volts"),
        ("18x8.50-8", "eighteen by eight and a half by eight"),
        ("205/50-10", "two hundred and five, fifty, ten"),
        ("6.3 6.3 6.2", "six point three, six point three, six point two"),
        ("a 1/2 in gap", "a half inch gap"),
        ("1/2 in", "half an inch"),
        ("3/8 in", "three eighths of an inch"),
        ("1 1/2 in", "one and a half inches"),
        ("20 lb-ft", "twenty pound-feet"),
        ("50-85 lb·ft", "fifty to eighty-five pound-feet"),
        ("my '09 Lark", "my oh nine Lark"),
        ("from 2004-2010", "from two thousand and four to twenty ten"),
        ("since 1998", "since nineteen ninety-eight"),
        ("T-105 or GC2", "T one oh five or G C two"),
        ("the BMS", "the B M S"),
        ("turn it to TOW", "turn it to tow"),
        ("RUN/TOW", "run or tow"),
        ("-20 °C", "minus twenty degrees Celsius"),
        ("30 km/h or 19 mph", "thirty kilometres an hour or nineteen miles an hour"),
        ("12.44:1", "twelve point four four to one"),
        ("at 10:15", "at ten fifteen"),
        ("about 1.99 or 1,204.6", "about one point nine nine or one thousand two hundred and four point six"),
        ("M12x1.25", "M twelve by one point two five"),
        ("a 1/2-20 stud", "a half inch, twenty stud"),
        ("six 8 V batteries", "six eight volt batteries"),
        ("4 x 12 V", "four twelve volt"),
        ("36 in the shed", "thirty-six in the shed"),
        ("22 in tyres", "twenty-two inch tyres"),
        ("0.8 V to 4.2 V", "nought point eight volts to four point two volts"),
        ("5,000 ohms", "five thousand ohms"),
        ("at least 80 % (of 225 Ah)", "at least eighty per cent, of two hundred and twenty-five amp-hours,"),
        ("the 20-hour rate", "the twenty hour rate"),
        ("2 or 3 times", "two or three times"),
        ("<10 A, ~12 V", "less than ten amps, about twelve volts"),
        ("1 V is low", "one volt is low"),
        ("38.0 V", "thirty-eight volts"),
        ("- If it clicks: good (so far).", "If it clicks: good, so far."),
        ("a Drover 4x4", "a Drover four by four"),
        ("0 °C (32 °F)", "zero degrees Celsius, thirty-two degrees Fahrenheit,"),
        ("150 Ah hold 7.2 kWh", "one hundred and fifty amp-hours hold seven point two kilowatt-hours"),
        ("DANGER: stop", "Danger: stop"),
        ("the 1st and 22nd", "the first and twenty-second"),
    ],
)
def test_it_is_written_and_said(written: str, said: str):
    assert spoken(written, PACK.spoken) == said


def test_no_answer_of_the_pack_keeps_a_figure_or_a_sign():
    lines = [line for answer in PACK.answers for line in answer.text.splitlines()]
    lines += [text for hazard in PACK.hazards.values() for text in (hazard.note, hazard.short)]
    lines += [check.text for check in PACK.checks.values()]
    assert [line for line in lines if re.search(r"[\d<>=/%°*_]", spoken(line, PACK.spoken))] == []


@settings(deadline=None)  # a busy machine is no failure
@given(st.text(alphabet="0123456789 VAx-./'\"aintof°%:()MT+<=", max_size=30))
def test_saying_it_twice_changes_nothing(text: str):
    once = spoken(text, PACK.spoken)
    assert spoken(once, PACK.spoken) == once


def test_whole_numbers_agree_with_num2words():
    num2words = pytest.importorskip("num2words").num2words
    for value in (*range(0, 2200, 7), 10_000, 10_001, 123_456, 1_000_100, 7_654_321):
        assert whole(value) == num2words(value, lang="en_GB").replace(",", ""), value

"""Numbers, units and years as people write and say them."""

from __future__ import annotations

import pytest

from triage.language import Language
from triage.language.numbers import spoken_year
from triage.language.quantities import number_lists
from triage.language.tokens import tokenise


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("36volt", 36, "V"),
        ("36-volt", 36, "V"),
        ("38,2 V", 38.2, "V"),
        ("1,240", 1240, ""),
        ("1/2 in", 0.5, "in"),
        ("1 1/2 inch", 1.5, "in"),
        ("2½ inches", 2.5, "in"),
        ('22"', 22, "in"),
        ("half an inch", 0.5, "in"),
        ("half inch", 0.5, "in"),
        ("three quarters", 0.75, ""),
        ("thirty six volts", 36, "V"),
        ("forty-eight volts", 48, "V"),
        ("four hundred amp", 400, "A"),
        ("two thousand five hundred rpm", 2500, "rpm"),
        ("a hundred and five miles", 105, "mile"),
        ("half a dozen", 6, ""),
        ("twelve point six", 12.6, ""),
        ("five point oh two volts", 5.02, "V"),
        ("six and a half inches", 6.5, "in"),
        ("minus four degrees", -4, "deg"),
        ("-18 C", -18, "degC"),
        ("15 mph", 15, "mph"),
        ("20 kilometres per hour", 20, "km/h"),
    ],
)
def test_quantity(language: Language, text: str, value: float, unit: str) -> None:
    found = language.annotate(text).quantities
    assert [(q.value, q.unit) for q in found[:1]] == [(pytest.approx(value), unit)]


@pytest.mark.parametrize(
    "text", ["36 in the shed", "6 in a row", "22 in winter", "the 48\nAmps are low", "350 A DAY", "1265 in most cells"]
)
def test_no_unit(language: Language, text: str) -> None:
    assert [q.unit for q in language.annotate(text).quantities] == [""]


@pytest.mark.parametrize(
    ("text", "year"),
    [
        ("twenty twelve", 2012),
        ("two thousand and four", 2004),
        ("two thousand nine", 2009),
        ("nineteen ninety eight", 1998),
        ("twenty oh nine", 2009),
        ("oh five", 2005),
        ("twenty six volt", None),
        ("six", None),
    ],
)
def test_spoken_year(text: str, year: int | None) -> None:
    found = spoken_year(tokenise(text), 0)
    assert (found[0] if found else None) == year


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("6.3 6.3 5.1", [6.3, 6.3, 5.1]),
        ("6.31, 6.30, 5.98 and 6.31", [6.31, 6.30, 5.98, 6.31]),
        ("1) 6.31\n2) 6.30\n3) 5.98", [6.31, 6.30, 5.98]),
        ("No.1 8.44 No.2 8.45 No.3 7.2 No.4 8.4", [8.44, 8.45, 7.2, 8.4]),
        ("8.4 then 8.3", []),
        ("6.3 batteries 12 volts 400 amps", []),
    ],
)
def test_runs_of_readings(language: Language, text: str, values: list[float]) -> None:
    document = language.annotate(text)
    runs = number_lists(document.tokens, document.quantities)
    assert [q.value for run in runs for q in run] == values

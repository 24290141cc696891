"""How a conflict speaks: the facts, the reason, and a polite question."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.conflicts.conftest import Read
from tests.conflicts.test_texts import CONFLICTS
from triage.conflicts import find_conflicts
from triage.model import Fact, Standing
from triage.pack import Pack


@pytest.mark.parametrize("text", [text for text, _ in CONFLICTS])
def test_every_conflict_names_facts_reason_question_and_source(conflicts_in: Read, demo: Pack, text: str) -> None:
    for conflict in conflicts_in(text):
        assert re.fullmatch(r"[a-z]+(_[a-z]+)*", conflict.id)
        assert conflict.facts
        assert conflict.says[0].isupper() or conflict.says[0].isdigit()
        assert re.search(r": .{15,}\.$|\? .{15,}\.$", conflict.says), "a claim, then its reason"
        assert conflict.ask.endswith("?")
        assert conflict.source


@pytest.mark.parametrize("text", [text for text, _ in CONFLICTS])
def test_no_fact_name_or_odd_article_reaches_the_asker(conflicts_in: Read, text: str) -> None:
    for conflict in conflicts_in(text):
        words = f"{conflict.says} {conflict.ask}"
        assert "_" not in words
        assert not re.search(r"\b[Aa] (?:[aeioAEIO]\w|8 )", words), words


def test_a_firm_fact_contradicts_and_a_hedged_one_is_asked_about(demo: Pack) -> None:
    model, year = Fact("model", "Sprite"), Fact("year", 2003)
    (firm,) = find_conflicts((model, year), demo)
    (hedged,) = find_conflicts((model, replace(year, standing=Standing.HEDGED)), demo)
    assert firm.says == (
        "A 2003 Merrow Sprite cannot be right: the catalogue has the Merrow Sprite made from 2014 to 2020 "
        "and the Merrow Sprite Li made from 2021 on."
    )
    assert hedged.says.startswith("Could a 2003 Merrow Sprite be a slip? The catalogue has")
    assert hedged.ask == "Could you look once more: what year is it?"
    assert (firm.id, firm.facts) == (hedged.id, hedged.facts) == ("year_outside_production", ("year", "model"))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "36 volt cart with six 8 volt batteries",
            "6 batteries of 8 V in a 36 V pack cannot be right: in series they make 48 V.",
        ),
        ("it has 5 batteries and is 48 volt", "48 V takes 8 of 6 V, 6 of 8 V or 4 of 12 V"),
        ("My Lark Li, the charger has an equalise mode", "goes to 62 V on a 48 V pack"),  # B-84
        ("M12x1.25 wheel nuts on my Lark", "the nut is too small: it jams or cross-threads"),  # T-06, physics.threads
        ("the studs are 1/2-20 on my 2010 Ridge", "not safe, though it can feel tight"),  # T-05
        (
            "36V cart with six 6V batteries, charged overnight, pack reads 35.2 V at rest",
            "full shows about 38.0 V, flat about 35.7 V",
        ),  # B-01, B-05
        ("bone stock 2012 Lark does 25 mph", "would be unusual"),
    ],
)
def test_the_reason_carries_the_figures(conflicts_in: Read, text: str, words: str) -> None:
    (conflict,) = conflicts_in(text)
    assert words in conflict.says

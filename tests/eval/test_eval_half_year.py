"""The simulated half year's generator and its figures; the run itself takes minutes and is made by hand."""

from __future__ import annotations

import random
from pathlib import Path
from xml.etree import ElementTree

import pytest

from eval.half_year.asking import WEEKS, Asked, half_year, matters, slipped, vehicles_of, years_of
from eval.half_year.editor import said_in
from eval.half_year.picture import svg
from eval.half_year.staff import by_hand, mistakes, planted, reply
from eval.half_year.weekly import Caught, Week, table
from triage.pack import Pack, load


@pytest.fixture(scope="module")
def pack() -> Pack:
    return load(Path(__file__).parents[2] / "knowledge")


@pytest.fixture(scope="module")
def asked(pack: Pack) -> list[Asked]:
    return half_year(pack, 600, seed=1)


def test_thirty_matters_are_missing_each_worded_in_a_dozen_ways_or_more(pack: Pack) -> None:
    told = matters()
    assert len(told.missing) == 30 and all(len(set(wordings)) >= 12 for wordings in told.missing.values())
    answers = {answer.id: answer for answer in pack.answers}
    assert not told.missing.keys() & told.known.keys()
    for id, wordings in {**told.missing, **told.known}.items():
        own = {text.casefold() for text in (answers[id].question, *answers[id].variants)}
        assert not own & {wording.casefold() for wording in wordings}, f"{id}: a wording of the base itself"


def test_the_same_seed_asks_the_same_and_spreads_it_over_the_weeks(pack: Pack, asked: list[Asked]) -> None:
    assert half_year(pack, 600, seed=1) == asked != half_year(pack, 600, seed=2)
    assert {one.week for one in asked} == set(range(WEEKS))
    assert [one.at for one in asked] == sorted(one.at for one in asked)


def test_every_asker_has_a_vehicle_the_right_answer_is_for(pack: Pack, asked: list[Asked]) -> None:
    answers = {answer.id: answer for answer in pack.answers}
    for one in asked:
        if one.answer:
            assert one.vehicle in vehicles_of(answers[one.answer], pack.vehicles)
            first, last = years_of(answers[one.answer], one.vehicle)
            assert first <= one.year <= last


def test_slips_leave_figures_and_names_alone() -> None:
    for seed in range(40):
        assert "2014" in slipped("the Ridge of 2014 loses pressure quickly", random.Random(seed))


def test_every_mistake_is_planted_once_and_stands_in_what_was_sent(pack: Pack) -> None:
    truth = {answer.id: answer for answer in pack.answers}
    year = half_year(pack, 3000, seed=1)
    plants = planted(year, random.Random(1))
    assert len(plants) == len(mistakes()) >= 40
    for number, wrong in plants.items():
        sent = reply(year[number - 1], "", False, truth, wrong, seed=1)
        assert said_in(wrong, sent.text) and sent.wrong is wrong


def test_what_is_written_by_hand_is_true_unless_a_mistake_is_planted(pack: Pack, asked: list[Asked]) -> None:
    truth = {answer.id: answer for answer in pack.answers}
    for one in [item for item in asked if item.answer][:40]:
        text = by_hand(one, truth[one.answer], "Odile", random.Random(one.number))
        lines = [line.removeprefix("- ") for line in text.splitlines() if line]
        body = " ".join(truth[one.answer].text.replace("\n- ", "\n").split())
        assert sum(line in body for line in lines) >= len(lines) - 5


def week(number: int, **more: object) -> Week:
    fields = {"week": number, "asked": 100, "served": 0.4, "first": 0.6, "misled": 0.1, "missing_served": None,
              "edits": 2.0, "minutes": 5.0, "base": 60 + number, "found": number, "proposals": 9, "taken": 3,
              "refused": 2, "waiting": 4, "caught": Caught(4, 3, 1)}  # fmt: skip
    return Week(**(fields | more))  # type: ignore[arg-type]


def test_recall_and_precision_are_of_what_was_planted() -> None:
    assert (Caught(4, 3, 1).recall, Caught(4, 3, 1).precision) == (0.75, 0.75)
    assert Caught().recall is None and Caught().precision is None


def test_the_table_and_the_picture_hold_every_week() -> None:
    weeks = [week(number) for number in (1, 2, 3)]
    assert len(table(weeks).splitlines()) == 5
    drawn = ElementTree.fromstring(svg(weeks))
    lines = list(drawn.iter("{http://www.w3.org/2000/svg}polyline"))
    assert len(lines) == 9 and all(len(one.get("points", "").split()) in (0, 3) for one in lines)

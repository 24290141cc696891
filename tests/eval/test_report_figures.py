"""Figures of the report: the metrics' own values, with intervals as scipy resamples them; two labelers."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
from evalcases import case, fact, facts, gold, matches, note, told
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import bootstrap
from sklearn.metrics import cohen_kappa_score, roc_auc_score

from eval import metrics_facts, metrics_hazards, metrics_matching
from eval.calibration import expected_error
from eval.cases import Case
from eval.figures import FIGURES, Value, area
from eval.kappa import cohen_kappa
from eval.labels import LabelError
from eval.second_labeler import agreements, as_cases, load_second
from eval.vehicle_kinds import drive_of, name_of
from triage.model import Decision, Reading
from triage.pack.schema import Vehicle

FIGURE = {figure.name: figure for figure in FIGURES}


def measured(name: str, cases: Sequence[Case]) -> Value:
    return FIGURE[name].measure(cases)


RANKED = [
    case(matches(Decision.ANSWER, a=0.9, b=0.05), answer="a"),
    case(matches(Decision.ASK, a=0.6, b=0.3), answer="b", decision="ask"),
    case(matches(Decision.NO_ANSWER, b=0.2), answer=None, decision="no_answer"),
    case(matches(Decision.ANSWER, c=0.7), answer=None, decision="no_answer"),
    case(matches(Decision.ANSWER, c=0.8), answer="c"),
    case(Reading("t1"), answer="c"),
]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("right answer first", metrics_matching.right_within(RANKED, 1).value),
        ("right answer among three", metrics_matching.right_within(RANKED, 3).value),
        ('"none fits", AUROC', metrics_matching.none_fits(RANKED)),
        ("calibration error", expected_error(metrics_matching.bins(RANKED))),
        ("wrong of the surest 80 %", metrics_matching.at_coverage(RANKED, 0.8).wrong.value),
        ("decision", metrics_matching.decision_share(RANKED).value),
    ],
)
def test_a_figure_is_the_metric_of_that_name(name: str, value: float) -> None:
    assert measured(name, RANKED).value == pytest.approx(value)


def test_facts_and_dangers_are_summed_over_questions() -> None:
    cases = [
        case(facts(fact("year", 2012), fact("model", "Lark")), facts=[told("year", 2012)]),
        case(facts(), facts=[told("pack_voltage", 48)]),
        case(Reading("t1", hazards=(note("acid"), note("fumes"))), hazards=["acid"]),
    ]
    assert measured("closed facts, F1", cases).value == pytest.approx(metrics_facts.total(cases).f1 or 0.0)
    assert measured("dangers noted, recall", cases).value == metrics_hazards.total(cases).recall == 1.0
    assert measured("dangers noted, precision", cases).value == metrics_hazards.total(cases).precision == 0.5


def test_the_interval_is_that_of_scipy() -> None:
    right = np.array([index % 3 > 0 for index in range(90)])
    cases = [case(matches(a=0.9) if one else matches(b=0.9), answer="a") for one in right]
    theirs = bootstrap((right.astype(float),), np.mean, method="percentile", rng=np.random.default_rng(1))
    interval = measured("right answer first", cases).interval
    assert interval == pytest.approx(tuple(theirs.confidence_interval), abs=0.02)


def test_nothing_can_be_said_of_no_questions() -> None:
    assert {figure.measure([]) for figure in FIGURES} == {Value(None, None, 0)}


@given(st.lists(st.tuples(st.booleans(), st.sampled_from([0.1, 0.2, 0.5, 0.9])), min_size=2, max_size=30))
def test_the_area_by_ranks_is_the_one_scikit_learn_computes(drawn: list[tuple[bool, float]]) -> None:
    kinds, scores = [kind for kind, _ in drawn], [score for _, score in drawn]
    found = area(np.array(kinds), np.array(scores))
    if len(set(kinds)) < 2:
        assert np.isnan(found)
    else:
        assert found == pytest.approx(roc_auc_score(kinds, scores))


LABELS = st.lists(st.tuples(st.sampled_from("abc"), st.sampled_from("abc")), min_size=1, max_size=40)


@given(LABELS)
def test_kappa_is_that_of_scikit_learn(pairs: list[tuple[str, str]]) -> None:
    first, second = [one for one, _ in pairs], [other for _, other in pairs]
    kappa = cohen_kappa(first, second)
    if len({*first, *second}) == 1:
        assert kappa is None
    else:
        assert kappa == pytest.approx(cohen_kappa_score(first, second))


FULL = gold(
    id="f1", answer="a", also_ok=["b"], symptoms=["clicks_no_move"], work_done=["batteries charged"],
    facts=[told("year", 2012), told("powertrain", "electric")], hazards=["acid"], conflicts=["year and voltage"],
    measurements=[{"what": "pack", "value": [8.1, 8.2], "unit": "V"}], decisive="pack_voltage", intent="how_to",
)  # fmt: skip


def test_a_labeler_agrees_wholly_with_himself() -> None:
    (both,) = as_cases([case(id="f1")], {"f1": FULL})
    same = Case("fourth", FULL, both.reading)
    said = [figure.measure([same]).value for figure in FIGURES]
    assert [value for value in said if value not in (None, 0.0, 1.0)] == []
    assert [f.name for f in FIGURES if f.measure([same]).value == 0.0 and not f.less_is_better] == []
    assert {item.same for item in agreements([(FULL, FULL)])} == {1.0}


def test_second_labels_take_their_question_from_the_first(tmp_path: Path) -> None:
    file = tmp_path / "second.jsonl"
    label = {"id": "f1", "text": "other", "intent": "other", "decision": "ask", "answer": None, "extra": 1}
    label["measurements"] = [{"what": "acid", "value": 1.2, "unit": None}]
    file.write_text(json.dumps(label) + "\n", encoding="utf-8")
    found = load_second({"f1": FULL}, file)["f1"]
    assert (found.text, found.decision, found.measurements[0].unit) == (FULL.text, Decision.ASK, "")
    with pytest.raises(LabelError, match="line 1"):
        load_second({}, file)
    assert load_second({}, tmp_path / "none.jsonl") == {}


CATALOGUE = [
    Vehicle("lark", "Merrow", "Lark", "electric", aliases=["Larkie"]),
    Vehicle("lark-p", "Merrow", "Lark P", "petrol"),
    Vehicle("tern", "Merrow", "Tern", "petrol"),
]


@pytest.mark.parametrize(
    ("tells", "drive", "name"),
    [
        ([told("model", "Tern")], "petrol", "listed name"),
        ([told("model", "Lark")], "not told", "listed name"),
        ([told("model", "Larkie")], "electric", "listed name"),
        ([told("model", "Gannet"), told("powertrain", "electric")], "electric", "unlisted name"),
        ([told("make", "Merrow"), told("model", "Gannet")], "not told", "unlisted name"),
        ([], "not told", "no name"),
    ],
)
def test_what_kind_of_vehicle_is_asked_about(tells: list[object], drive: str, name: str) -> None:
    label = gold(facts=tells)
    assert (drive_of(label, CATALOGUE), name_of(label, CATALOGUE)) == (drive, name)

"""Ranking with a toy encoder, so that every likeness is known by hand; and the share of "none fits"."""

from __future__ import annotations

from math import exp, sqrt

import numpy as np
import pytest
from toys import OneHot, answer, fact, held

from triage.matching.decide import LIKELY, SURE, WORTH_ASKING, decide
from triage.matching.index import Told, build_index
from triage.matching.rank import FEATURES, Ask, Ranker, choose, rank
from triage.model import Conflict, Decision, Gap, HazardNote, Match, Signal

TOY = OneHot("charger", "hums", "clicks", "solenoid", "tyre", "rubs")
WHOLE_ONLY = Ranker(tuple(float(name == "whole") for name in FEATURES), none=0.5)


def index_of(*answers, encoder=TOY):
    told = [Told(frozenset(), frozenset(), frozenset(), (item.question,)) for item in answers]
    return build_index(answers, [], encoder, told)


def ask(text: str, *facts, words: tuple[str, ...] = (), encoder=TOY) -> Ask:
    vector = encoder.encode([text])
    return Ask(vector[0], vector, words, held(*facts), {}, frozenset(), "")


HUMS = answer("hums", "charger hums", powertrain="electric")
SILENT = answer("silent", "charger", powertrain="electric")
CLICKS = answer("clicks", "solenoid clicks")
BASE = (CLICKS, HUMS, SILENT)


def test_probabilities_are_the_softmax_of_the_likeness_and_the_score_of_none():
    """Cosines by hand: "charger hums" to itself 1, to "charger" 1/sqrt 2, to "solenoid clicks" 0."""
    matches, none = rank(index_of(*BASE), ask("charger hums"), WHOLE_ONLY)
    weights = {"hums": exp(1.0), "silent": exp(1 / sqrt(2)), "clicks": 1.0, "none": exp(0.5)}
    total = sum(weights.values())
    assert [match.answer for match in matches] == ["hums", "silent", "clicks"]
    assert [m.probability for m in matches] == pytest.approx([weights[m.answer] / total for m in matches], abs=1e-4)
    assert none == pytest.approx(weights["none"] / total)


def test_all_shares_add_up_to_one():
    matches, none = rank(index_of(*BASE), ask("tyre rubs"), WHOLE_ONLY)
    assert sum(match.probability for match in matches) + none == pytest.approx(1.0, abs=1e-3)


def test_an_excluded_answer_never_appears_however_alike():
    matches, _ = rank(index_of(*BASE), ask("charger hums", fact("powertrain", "petrol")), WHOLE_ONLY)
    assert [match.answer for match in matches] == ["clicks"]


def test_equals_stand_in_order_of_their_ids():
    twins = (answer("b", "charger"), answer("a", "charger"))
    matches, _ = rank(index_of(*twins), ask("charger"), WHOLE_ONLY)
    assert [match.answer for match in matches] == ["a", "b"]


@pytest.mark.parametrize("score", [-50.0, 0.0, 50.0])
def test_a_higher_score_of_none_makes_none_likelier(score):
    _, none = rank(index_of(*BASE), ask("charger hums"), Ranker(WHOLE_ONLY.weights, none=score))
    _, more = rank(index_of(*BASE), ask("charger hums"), Ranker(WHOLE_ONLY.weights, none=score + 1))
    assert more > none or more == pytest.approx(1.0) == none


def test_temperature_levels_the_shares():
    sharp, _ = rank(index_of(*BASE), ask("charger hums"), Ranker(WHOLE_ONLY.weights, 0.5, temperature=0.25))
    level, _ = rank(index_of(*BASE), ask("charger hums"), Ranker(WHOLE_ONLY.weights, 0.5, temperature=4.0))
    assert sharp[0].probability > level[0].probability


def test_an_empty_base_fits_nothing():
    assert rank(index_of(), ask("charger hums"), WHOLE_ONLY) == ((), 1.0)


def test_when_every_answer_is_excluded_none_fits():
    petrol = answer("p", "charger hums", powertrain="petrol")
    assert rank(index_of(petrol), ask("charger hums", fact("powertrain", "electric")), WHOLE_ONLY) == ((), 1.0)


def test_one_answer_is_still_held_against_none():
    (match,), none = rank(index_of(HUMS), ask("tyre rubs"), WHOLE_ONLY)
    assert match.probability < none and match.probability + none == pytest.approx(1.0, abs=1e-4)


def test_a_question_without_known_words_gives_no_numbers_that_are_not_numbers():
    matches, none = rank(index_of(*BASE), ask(""), WHOLE_ONLY)
    assert np.isfinite([none, *(match.probability for match in matches)]).all()


def test_choose_gives_none_everything_when_no_score_is_finite():
    shares, none = choose(np.array([-np.inf, -np.inf]), np.zeros((2, len(FEATURES))), WHOLE_ONLY)
    assert (list(shares), none) == ([0.0, 0.0], 1.0)


def test_the_shipped_ranker_is_for_these_features_and_points_the_right_way():
    shipped = Ranker.load()
    weights = dict(zip(FEATURES, shipped.weights, strict=True))
    assert all(weights[name] > 0 for name in ("whole", "sentence", "words", "specific"))


def test_a_ranker_for_other_features_is_refused(tmp_path):
    file = tmp_path / "ranker.json"
    file.write_text('{"features": ["whole"], "weights": [1.0], "none": 0.0}')
    with pytest.raises(ValueError, match="refit it"):
        Ranker.load(file)


def matches_of(*probabilities: float) -> list[Match]:
    return [Match(f"a{number}", probability) for number, probability in enumerate(probabilities)]


DECIDES = Gap("pack_voltage", "How many volts?", WORTH_ASKING)
HARDLY = Gap("use", "Where?", WORTH_ASKING / 2)
SMOKE = HazardNote("smoke", Signal.DANGER, "Get out.", urgent=True)
GLOVES = HazardNote("gloves", Signal.CAUTION, "Wear gloves.")
MISFIT = Conflict("misfit", ("year",), "The years do not fit.")


@pytest.mark.parametrize(
    ("matches", "none", "gaps", "hazards", "conflicts", "decision"),
    [
        pytest.param(matches_of(0.9), 0.1, [], [], [], Decision.ANSWER, id="sure"),
        pytest.param(matches_of(SURE), 0.1, [], [], [], Decision.ANSWER, id="just-sure"),
        pytest.param(matches_of(0.9), 0.1, [HARDLY], [GLOVES], [], Decision.ANSWER, id="a-small-gap-and-a-note"),
        pytest.param(matches_of(0.9), 0.1, [DECIDES], [], [], Decision.ASK, id="a-fact-decides"),
        pytest.param(matches_of(0.4, 0.4), 0.2, [DECIDES], [], [], Decision.ASK, id="near-neighbours"),
        pytest.param(matches_of(0.4, 0.3), 0.2, [], [], [], Decision.ASK, id="likely-not-sure"),
        pytest.param(matches_of(0.9), 0.1, [], [], [MISFIT], Decision.ASK, id="facts-do-not-fit"),
        pytest.param(matches_of(LIKELY / 2), 0.3, [], [], [], Decision.NO_ANSWER, id="nothing-likely"),
        pytest.param(matches_of(0.3), 0.7, [DECIDES], [], [], Decision.NO_ANSWER, id="none-is-likelier"),
        pytest.param([], 1.0, [], [], [], Decision.NO_ANSWER, id="no-answers"),
        pytest.param(matches_of(0.99), 0.0, [], [SMOKE], [], Decision.HAND_OVER, id="danger-goes-first"),
        pytest.param([], 1.0, [], [SMOKE], [MISFIT], Decision.HAND_OVER, id="danger-without-an-answer"),
    ],
)
def test_decides(matches, none, gaps, hazards, conflicts, decision):
    decided, reasons = decide(matches, none, gaps, hazards, conflicts)
    assert decided is decision and all(reasons)


def test_what_is_not_for_the_base_goes_to_a_person_with_its_reason():
    assert decide(matches_of(0.9), 0.1, [], [], [], off_topic="an order") == (Decision.HAND_OVER, ("an order",))


def test_names_the_danger():
    assert "smoke" in decide([], 1.0, [], [SMOKE], [])[1][0]

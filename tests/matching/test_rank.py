"""Ranking with a toy encoder, so that every likeness is known by hand; and the share of "none fits"."""

from __future__ import annotations

from dataclasses import replace
from math import exp, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from toys import OneHot, answer, fact, held

from triage.matching.decide import CLOSE, LEADS, LIKELY, MAY_FIT, SURE, WORTH_ASKING, WORTH_SETTLING, decide
from triage.matching.features import FEATURES, NEIGHBOURS, Ask, Seen, features
from triage.matching.fit import Fit
from triage.matching.index import Told, build_index
from triage.matching.rank import Ranker, choose, rank
from triage.model import Conflict, Decision, Gap, HazardNote, Match, Signal
from triage.pack.schema import Aside, Vehicle

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
    seen = Seen(np.arange(2), np.zeros((2, len(FEATURES))), [Fit(disagrees=("make",))] * 2)
    shares, none = choose(seen, 0.0, WHOLE_ONLY)
    assert (list(shares), none) == ([0.0, 0.0], 1.0)


def test_what_sounds_like_other_post_makes_none_likelier():
    ranker = Ranker(WHOLE_ONLY.weights, none=0.5, elsewhere=2.0)
    question = ask("charger hums")
    assert (
        rank(index_of(*BASE), replace(question, elsewhere=1.0), ranker)[1] > rank(index_of(*BASE), question, ranker)[1]
    )


def test_the_shipped_ranker_is_for_these_features_and_points_the_right_way():
    shipped = Ranker.load()
    weights = dict(zip(FEATURES, shipped.weights, strict=True))
    assert all(weights[name] > 0 for name in ("whole", "full", "words", "danger", "agrees"))
    assert all(weights[name] <= -1 for name in NEIGHBOURS) and weights["refused"] <= 0


def test_a_ranker_for_other_features_is_refused(tmp_path):
    file = tmp_path / "ranker.json"
    file.write_text('{"features": ["whole"], "weights": [1.0], "none": 0.0}')
    with pytest.raises(ValueError, match="refit it"):
        Ranker.load(file)


def test_an_answer_for_listed_vehicles_fits_an_unlisted_one_and_says_so():
    vehicles = [Vehicle(id="v", make="Tarvik", model="Lark", powertrain="electric")]
    told = [Told(frozenset(), frozenset(), frozenset(), ("charger hums",))]
    index = build_index([answer("lark", "charger hums", makes=["Tarvik"])], vehicles, TOY, told)
    (match,), _ = rank(index, ask("charger hums", fact("make", "Lintock")), WHOLE_ONLY)
    assert match.unlisted and not match.near and match.against == ("for Tarvik, not Lintock",)
    listed = [*vehicles, Vehicle(id="w", make="Ospren", model="Ridge", powertrain="electric")]
    index = build_index([answer("lark", "charger hums", makes=["Tarvik"])], listed, TOY, told)
    assert rank(index, ask("charger hums", fact("make", "Ospren")), WHOLE_ONLY) == ((), 1.0)


def test_danger_told_speaks_for_the_answer_about_it():
    told = [
        Told(frozenset(), frozenset(), frozenset(), ("charger",), dangers=frozenset({d})) for d in ("smoke", "acid")
    ]
    index = build_index([answer("smoke"), answer("acid")], [], TOY, told)
    seen = features(index, replace(ask("charger"), dangers=frozenset({"acid"})))
    assert list(seen.matrix[:, FEATURES.index("danger")]) == [0.0, 1.0]


def test_a_rare_part_named_counts_more_than_a_common_one():
    parts = [{"pedal", "pack"}, {"pack"}, {"pack", "fuse"}]
    told = [Told(frozenset(), frozenset(), frozenset(), ("charger",), parts=frozenset(p)) for p in parts]
    index = build_index([answer(n) for n in "abc"], [], TOY, told)
    column = features(index, replace(ask("charger"), parts=frozenset({"pedal", "pack"}))).matrix[
        :, FEATURES.index("parts")
    ]
    assert column[0] == pytest.approx(1.0) and 0 < column[1] == column[2] < 0.5


def column_of(name: str, told: list[Told], **asked) -> list[float]:
    index = build_index([answer(f"a{number}") for number in range(len(told))], [], TOY, told)
    seen = features(index, replace(ask("charger"), **asked))
    return [round(float(value), 3) for value in seen.matrix[:, FEATURES.index(name)]]


def telling(*symptoms: str, **more) -> Told:
    return Told(frozenset(symptoms), frozenset(), frozenset(), ("charger",), **more)


def test_an_answer_about_what_was_denied_is_refused_unless_it_tells_of_something_told():
    told = [telling("smell"), telling("smell", "leak"), telling("hum")]
    asked = {"refused": frozenset({"smell"}), "symptoms": frozenset({"leak"})}
    assert column_of("refused", told, **asked) == [1.0, 0.0, 0.0]


def test_an_answer_that_gives_what_is_wanted_is_likelier():
    told = [telling(wants=(0.9, 0.1)), telling(wants=(0.1, 0.9)), telling()]
    assert column_of("wants", told, wants=np.array([1.0, 0.0])) == [-0.105, -2.303, -4.605]
    assert column_of("wants", told) == [0.0, 0.0, 0.0]  # nothing is known of the question


def test_what_sounds_of_the_same_danger_goes_together():
    told = [telling(perils={0: 2.0}), telling(perils={1: 2.0}), telling()]
    assert column_of("perils", told, perils=np.array([1.5, 0.0], np.float32)) == [1.0, 0.0, 0.0]


def matches_of(*probabilities: float) -> list[Match]:
    return [Match(f"a{number}", probability) for number, probability in enumerate(probabilities)]


DECIDES = Gap("pack_voltage", "How many volts?", WORTH_ASKING)
HARDLY = Gap("use", "Where?", WORTH_ASKING / 2)
SETTLES = Gap("year", "Which year?", WORTH_SETTLING)
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
        pytest.param(matches_of(LEADS, 0.2), 0.2, [], [], [], Decision.ANSWER, id="leads-and-nothing-to-ask"),
        pytest.param(matches_of(LEADS, 0.2), 0.2, [HARDLY], [], [], Decision.ASK, id="leads-and-something-may-tell"),
        pytest.param(matches_of(0.4, 0.1), 0.3, [], [], [], Decision.HAND_OVER, id="not-sure-and-nothing-to-ask"),
        pytest.param(matches_of(0.4), 0.1, [], [], [MISFIT], Decision.ASK, id="facts-do-not-fit"),
        pytest.param(matches_of(0.9), 0.1, [DECIDES], [], [MISFIT], Decision.ANSWER, id="the-answer-is-the-same"),
        pytest.param(matches_of(0.9), 0.1, [SETTLES], [], [MISFIT], Decision.ASK, id="the-misfit-decides"),
        pytest.param(matches_of(LIKELY / 2), 0.3, [], [], [], Decision.NO_ANSWER, id="nothing-likely"),
        pytest.param(matches_of(0.3), MAY_FIT, [DECIDES], [], [], Decision.NO_ANSWER, id="none-is-likelier"),
        pytest.param(matches_of(0.3), 0.6, [DECIDES], [], [], Decision.ASK, id="none-unless-a-fact-is-told"),
        pytest.param(matches_of(0.3), 0.6, [HARDLY], [], [], Decision.NO_ANSWER, id="none-and-little-to-ask"),
        pytest.param([], 1.0, [], [], [], Decision.NO_ANSWER, id="no-answers"),
        pytest.param(matches_of(0.99), 0.0, [], [SMOKE], [], Decision.HAND_OVER, id="danger-goes-first"),
        pytest.param([], 1.0, [], [SMOKE], [MISFIT], Decision.HAND_OVER, id="danger-without-an-answer"),
    ],
)
def test_decides(matches, none, gaps, hazards, conflicts, decision):
    decided, reasons = decide(matches, none, gaps, hazards, conflicts)
    assert decided is decision and all(reasons)


@pytest.mark.parametrize(
    ("person", "best", "decision"),
    [
        pytest.param(True, 0.4, Decision.HAND_OVER, id="an-order-goes-to-a-person"),
        pytest.param(False, 0.4, Decision.NO_ANSWER, id="a-mower-is-told-apart"),
        pytest.param(True, 0.9, Decision.ANSWER, id="a-sure-answer-outweighs-the-sound-of-it"),
    ],
)
def test_what_is_not_for_the_base_is_set_aside_with_its_reason(person, best, decision):
    aside = Aside(id="other", reason="another matter", examples=["x"], person=person)
    decided, reasons = decide(matches_of(best), 0.1, [], [], [], aside)
    assert decided is decision and (decision is Decision.ANSWER or reasons == ("another matter",))


@pytest.mark.parametrize(("gaps", "decision"), [([HARDLY], Decision.ASK), ([], Decision.HAND_OVER)])
def test_an_answer_for_a_near_neighbour_is_never_sent_without_asking(gaps, decision):
    near = [Match("a", 0.95, against=("for 36, not 48",), near=True)]
    decided, reasons = decide(near, 0.05, gaps, [], [])
    assert decided is decision and "for 36, not 48" in reasons[0]


@given(
    st.lists(st.floats(0, 1), max_size=3),
    st.floats(0, 1),
    st.booleans(),
    st.sampled_from([[], [HARDLY], [DECIDES], [HARDLY, DECIDES]]),
    st.sampled_from([[], [MISFIT]]),
)
def test_whoever_is_asked_is_asked_something(probabilities, none, near, gaps, conflicts):
    offered = [
        replace(match, near=near, against=("for 36, not 48",)) for match in matches_of(*sorted(probabilities)[::-1])
    ]
    decided, reasons = decide(offered, none, gaps, [], conflicts)
    assert all(reasons) and (decided is not Decision.ASK or gaps or conflicts)


@pytest.mark.parametrize(
    ("first", "second", "gaps", "decision"),
    [
        pytest.param(0.45, 0.40, [], Decision.HAND_OVER, id="two-close-and-nothing-to-ask"),
        pytest.param(0.45, 0.40, ["gap"], Decision.ASK, id="two-close-and-a-fact-tells-them-apart"),
        pytest.param(0.55, 0.55 - CLOSE - 0.01, [], Decision.ANSWER, id="one-leads"),
    ],
)
def test_two_answers_that_nothing_tells_apart_go_to_a_person(first, second, gaps, decision):
    assert decide(matches_of(first, second), 0.1, [DECIDES for _ in gaps], [], [])[0] is decision


def test_an_answer_for_an_unlisted_vehicle_says_so():
    offered = [Match("a", 0.95, against=("for Tarvik, not Lintock",), unlisted=True)]
    decided, reasons = decide(offered, 0.05, [], [], [])
    assert decided is Decision.ANSWER and "for Tarvik, not Lintock" in reasons[-1]


@pytest.mark.parametrize(
    ("fact", "untold", "decision"),
    [
        pytest.param("powertrain", ("powertrain",), Decision.ASK, id="for-one-drive-and-the-drive-is-not-told"),
        pytest.param("powertrain", (), Decision.ANSWER, id="for-any-drive"),
        pytest.param("pack_voltage", ("pack_voltage",), Decision.ANSWER, id="another-fact-that-hardly-matters"),
    ],
)
def test_an_answer_for_one_drive_waits_until_the_drive_is_told(fact, untold, decision):
    offered = [Match("a", 0.95, untold=untold)]
    assert decide(offered, 0.05, [replace(HARDLY, fact=fact)], [], [])[0] is decision


def test_names_the_danger():
    assert "smoke" in decide([], 1.0, [], [SMOKE], [])[1][0]

"""Learning follows the evidence, keeps nothing by chance, and is not tipped by one person."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.growth.learn import FEWEST, Learnt, coefficients_of, fitted, held_out, learn, verdict
from triage.growth.learn_lessons import Became, Feedback, Lesson, capped
from triage.growth.learn_logit import COLUMNS, Rows, fit, log_losses, stack
from triage.growth.learn_report import report
from triage.matching.features import FEATURES
from triage.matching.rank import Ranker

ANSWERS = 6
LOOKED_AT = ("whole", "words", "symptoms")


def ranker(**weights: float) -> Ranker:
    return Ranker(tuple(weights.get(name, -1.0 if name in ("doubts", "foreign", "contested") else 0.0)
                        for name in FEATURES), none=-4.0)  # fmt: skip


SHIPPED = ranker(whole=3.0, words=3.0, symptoms=4.0)
TRUE = ranker(whole=1.0, words=1.0, symptoms=8.0)  # this shop's askers tell symptoms plainly


def asked(rng: np.random.Generator) -> Rows:
    matrix = np.zeros((ANSWERS + 1, len(COLUMNS)))
    for name in LOOKED_AT:
        matrix[:-1, FEATURES.index(name)] = rng.uniform(0, 1, ANSWERS)
    matrix[-1, len(FEATURES)] = 1.0
    return Rows(tuple(f"a{number}" for number in range(ANSWERS)), matrix)


def lessons(person: str, count: int, by: Ranker, seed: int, *, worst: bool = False) -> list[Lesson]:
    """What a person sends: the answer that `by` holds for the best, or (an ill-willed one) for the worst."""
    rng, result = np.random.default_rng(seed), []
    for number in range(count):
        rows = asked(rng)
        scores = (rows.matrix @ coefficients_of(by))[:-1]
        chosen = int(scores.argmin() if worst else scores.argmax())
        right = np.arange(ANSWERS + 1) == chosen
        told = Feedback(Became.SENT, rows.answers[chosen])
        result.append(Lesson(seed * 10_000 + number, person, told, rows, right))
    return result


STAFF = [*lessons("Wyn", 50, TRUE, 1), *lessons("Odile", 50, TRUE, 2), *lessons("Tam", 50, TRUE, 3)]
ILL = lessons("Mal", 400, TRUE, 9, worst=True)
JUDGED = lessons("judge", 300, TRUE, 7)


def loss(of: Ranker) -> float:
    data = stack([i.rows.matrix for i in JUDGED], [i.right for i in JUDGED], [1.0] * len(JUDGED))
    return float(log_losses(coefficients_of(of), data).mean())


@pytest.fixture(scope="module")
def learnt() -> Learnt:
    return learn(SHIPPED, STAFF)


def test_what_the_shop_does_moves_the_weights_and_is_kept(learnt: Learnt) -> None:
    assert learnt.keep
    assert loss(learnt.ranker) < loss(SHIPPED) - 0.1


def test_the_report_says_in_plain_words_what_moved_and_why_it_is_kept(learnt: Learnt) -> None:
    told = "\n".join(report(learnt, SHIPPED))
    assert "150 answered threads teach something: 150 sent as drafted." in told
    assert "Counts more than before: symptoms told in both" in told
    assert "Worth keeping: it is better on threads it had not seen, beyond chance" in told


def test_staff_who_send_what_was_shipped_change_nothing_worth_keeping() -> None:
    rng = np.random.default_rng(5)
    drawn = []
    for item in [*lessons("Wyn", 60, SHIPPED, 4), *lessons("Odile", 60, SHIPPED, 6)]:
        logits = item.rows.matrix @ coefficients_of(SHIPPED)
        chances = np.exp(logits - logits.max())
        chosen = rng.choice(ANSWERS + 1, p=chances / chances.sum())
        drawn.append(replace(item, right=np.arange(ANSWERS + 1) == chosen))
    assert not learn(SHIPPED, drawn).keep


def test_too_few_lessons_teach_nothing() -> None:
    found = learn(SHIPPED, STAFF[: FEWEST - 1])
    assert not found.keep and found.ranker == SHIPPED and "29 lessons" in found.why


def test_many_feedbacks_of_one_ill_willed_person_cannot_tip_the_base() -> None:
    """400 wrong feedbacks of one against 150 of three: what is in force afterwards serves the others no worse."""
    found = learn(SHIPPED, [*STAFF, *ILL])
    in_force = found.ranker if found.keep else SHIPPED
    assert loss(in_force) <= loss(SHIPPED)
    assert found.persons["Mal"] < 0.5


def test_without_the_limit_that_person_would_tip_it() -> None:
    assert loss(fitted(SHIPPED, [*STAFF, *ILL])) > loss(SHIPPED) + 0.1


def test_an_ill_willed_person_who_gains_alone_is_outvoted() -> None:
    keep, why = verdict(held_out(SHIPPED, capped(STAFF)), {"Mal": 0.4, "Wyn": -0.1, "Odile": -0.1, "Tam": -0.1})
    assert not keep and "1 of 4 people" in why


def test_without_evidence_the_known_coefficients_stay() -> None:
    """A column that tells nothing apart, and a prior worth far more than the lessons."""
    rows = [asked(np.random.default_rng(0)).matrix]
    known = coefficients_of(SHIPPED)
    bounds = [(None, None)] * len(known)
    found = fit(stack(rows, [np.arange(ANSWERS + 1) == 0], [1.0]), known, 1e6, bounds)
    assert found == pytest.approx(known, abs=1e-3)


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 1000))
def test_the_fit_is_the_lowest_point_near_it(seed: int) -> None:
    """The target is convex, so no small step in any direction is lower."""
    rng = np.random.default_rng(seed)
    own = lessons("Wyn", 20, TRUE, seed)
    data = stack([i.rows.matrix for i in own], [i.right for i in own], [1.0] * len(own))
    known = coefficients_of(SHIPPED)
    stiff = 10.0 * np.maximum(data.rows.var(axis=0), 1e-6)

    def target(at: np.ndarray) -> float:
        return float(log_losses(at, data).sum() + stiff @ (at - known) ** 2 / 2)

    found = fit(data, known, 10.0, [(None, None)] * len(known))
    assert all(target(found) <= target(found + rng.normal(0, 0.05, len(known))) + 1e-6 for _ in range(20))


def test_the_known_ranker_is_the_start_not_the_one_learned_last() -> None:
    """Learning twice from the same work gives the same: nothing adds up by repetition."""
    assert fitted(SHIPPED, STAFF) == fitted(SHIPPED, STAFF)


def test_what_was_learned_is_kept_loaded_and_taken_back(tmp_path: Path) -> None:
    from datetime import date

    from triage.learnt_ranker import go_back, keep, load_learnt

    first, second = ranker(whole=1.0), ranker(whole=2.0)
    assert load_learnt(tmp_path, "tag") == (None, "")
    for number, item in enumerate((first, second), start=1):
        keep(tmp_path, item, "tag", number, date(2026, 11, 25))
    assert load_learnt(tmp_path, "tag") == (second, "")
    assert go_back(tmp_path) is not None
    assert load_learnt(tmp_path, "tag") == (first, "")
    assert go_back(tmp_path) is not None and load_learnt(tmp_path, "tag") == (None, "")
    assert go_back(tmp_path) is None


def test_what_was_learned_for_another_version_is_left_aside_with_a_word(tmp_path: Path) -> None:
    from datetime import date

    from triage.learnt_ranker import keep, load_learnt

    file = keep(tmp_path, SHIPPED, "one encoder", 40, date(2026, 11, 25))
    found, why = load_learnt(tmp_path, "another encoder")
    assert found is None and str(file) in why and "run 'triage learn' again" in why
    file.write_text('{"for": ', encoding="utf-8")
    assert "cannot be used" in load_learnt(tmp_path, "one encoder")[1]

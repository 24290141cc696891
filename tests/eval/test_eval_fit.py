"""The fit of the ranker: the right likelihood, sane signs, honest comparison, and nothing written when not better."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from evalcases import gold
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import check_grad

from eval import fit_ranker
from eval.choices import COLUMNS, Choice, choice_of, choices
from eval.fit_ranker import coefficients_of, held_out_measure, measure, write_ranker
from eval.logit import _losses, fit, log_losses, stack
from eval.shops import opened, shops
from triage.matching.rank import FEATURES, Ranker, choose
from triage.model import Question
from triage.pipeline import read

WIDTH = len(FEATURES)
FREE = [(None, None)] * len(COLUMNS)


def drawn(seed: int, questions: int, ranker: Ranker, answers: int = 6) -> list[Choice]:
    """Questions whose right answer is drawn from what the ranker holds probable."""
    random = np.random.default_rng(seed)
    result = []
    for number in range(questions):
        matrix = random.uniform(0, 1, (answers, WIDTH))
        shares, none = choose(matrix @ np.array(ranker.weights), matrix, ranker)
        picked = random.choice(answers + 1, p=np.append(shares, none))
        right = np.arange(answers) == picked
        result.append(choice_of(matrix, np.zeros(answers, bool), right, bool(picked == answers), f"t:{number}"))
    return result


@settings(deadline=None)
@given(st.integers(0, 2**32 - 1), st.floats(-3, 3), st.floats(-9, 3), st.floats(0.2, 3))
def test_the_fit_sees_the_probabilities_that_ranking_gives(
    seed: int, none: float, gap: float, temperature: float
) -> None:
    random = np.random.default_rng(seed)
    matrix, excluded = random.uniform(0, 1, (5, WIDTH)), np.array([False, True, False, False, True])
    ranker = Ranker(tuple(random.normal(0, 2, WIDTH)), none, gap, temperature)
    scores = matrix @ np.array(ranker.weights)
    scores[excluded] = -np.inf
    shares, rest = choose(scores, matrix, ranker)
    for right, expected in (
        (np.arange(5) == 2, shares[2]),
        (np.arange(5) == 9, rest),
        (np.arange(5) < 3, shares[:3].sum()),
    ):
        choice = choice_of(matrix, excluded, right, not right.any(), "t:1")
        (loss,) = log_losses(coefficients_of(ranker), stack([choice]))
        assert np.exp(-loss) == pytest.approx(expected)


def test_a_question_is_ranked_in_the_fit_as_the_program_ranks_it() -> None:
    texts = (
        "lark 48 clicks but wont move, not petrol",
        "can I fit 22 inch tyres on a 2012 Ridge?",
        "do you have jobs?",
    )
    (demo,) = shops("demo")
    with opened(demo) as stages:
        for text in texts:
            reading = read(Question("t1", text), stages)
            label = gold(text=text, answer=reading.matches[0].answer)
            (choice,) = choices([label], stages, "demo")
            (loss,) = log_losses(coefficients_of(stages.ranker), stack([choice]))
            assert np.exp(-loss) == pytest.approx(reading.matches[0].probability, abs=1e-4)  # rounded there


def test_the_slope_of_the_loss_is_that_of_finite_differences() -> None:
    data = stack(drawn(1, 20, Ranker((1.0,) * WIDTH, 3.0)))

    def slope(at: np.ndarray) -> np.ndarray:
        return data.rows.T @ _losses(at, data)[1]

    at = np.linspace(-1, 1, len(COLUMNS))
    assert check_grad(lambda x: float(log_losses(x, data).sum()), slope, at) < 1e-4


def test_the_fit_finds_the_weights_the_choices_were_drawn_with() -> None:
    true = Ranker((4.0, 3.0, 2.0, 1.5, 1.0, 0.5, -1.0, 1.5, -0.7, 0.3), 5.0, 1.0)
    found = fit(stack(drawn(7, 4000, true)), np.zeros(len(COLUMNS)), FREE, 0.0)
    assert found[:WIDTH] == pytest.approx(true.weights, abs=0.35)  # about four standard errors of 4000 questions


def test_signs_stay_sane_on_data_that_says_the_reverse() -> None:
    reversed_ = Ranker((-3.0,) * 6 + (3.0, -3.0, 3.0, -3.0), 0.0)
    ranker = fit_ranker.fit_ranker(drawn(3, 150, reversed_), Ranker.load())
    signs = dict(zip(FEATURES, ranker.weights, strict=True))
    assert all(value <= 0 for name, value in signs.items() if name in ("open", "symptom_miss"))
    assert all(value >= 0 for name, value in signs.items() if name not in ("open", "symptom_miss"))
    assert ranker.temperature > 0 and ranker.none_gap + ranker.weights[0] >= -1e-9


def test_a_choice_without_a_right_row_is_refused() -> None:
    choice = choice_of(np.zeros((2, WIDTH)), np.array([True, False]), np.array([True, False]), False, "demo:q9")
    with pytest.raises(ValueError, match="demo:q9"):
        stack([choice])


def test_held_out_is_worse_than_seen_and_better_than_a_wrong_ranker() -> None:
    true, wrong = Ranker((4.0,) * 6 + (-1.0, 2.0, -1.0, 1.0), 10.0), Ranker((0.1,) * WIDTH, 9.0)
    learn = drawn(5, 200, true)
    held_out, seen = held_out_measure(learn, wrong), measure(fit_ranker.fit_ranker(learn, wrong), learn)
    assert seen.log_loss < held_out.log_loss < measure(wrong, learn).log_loss


def test_folds_share_out_every_question() -> None:
    learn = drawn(2, 100, Ranker((1.0,) * WIDTH, 3.0))
    assert {fit_ranker.fold_of(choice) for choice in learn} == set(range(fit_ranker.FOLDS))


def test_a_written_ranker_is_read_again(tmp_path: Path) -> None:
    ranker = Ranker(tuple(round(0.1 * n, 4) for n in range(WIDTH)), 9.5, 1.25, 0.875)
    write_ranker(ranker, tmp_path / "ranker.json")
    assert Ranker.load(tmp_path / "ranker.json") == ranker


@pytest.mark.parametrize(
    ("present", "written"),
    [
        pytest.param(Ranker((4.0,) * 6 + (-1.0, 2.0, -1.0, 1.0), 10.0), False, id="the-present-one-is-the-true-one"),
        pytest.param(Ranker((0.1,) * WIDTH, 9.0), True, id="the-present-one-is-poor"),
    ],
)
def test_only_a_better_ranker_is_written(
    present: Ranker, written: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    true = Ranker((4.0,) * 6 + (-1.0, 2.0, -1.0, 1.0), 10.0)
    monkeypatch.setattr(fit_ranker, "load_choices", lambda _: drawn(11, 120, true))
    file = tmp_path / "ranker.json"
    write_ranker(present, file)
    before = file.read_text(encoding="utf-8")
    assert fit_ranker.main(["--to", str(file), "--dry"]) == 0
    assert file.read_text(encoding="utf-8") == before
    assert fit_ranker.main(["--to", str(file)]) == 0
    assert (file.read_text(encoding="utf-8") != before) is written

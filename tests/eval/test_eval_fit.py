"""The fit of the ranker: the right likelihood, sane signs, honest comparison, and nothing written when not better."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from evalcases import gold
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import check_grad
from sklearn.metrics import log_loss

from eval import fit_ranker
from eval.ablation import GROUPS, blanked
from eval.choices import COLUMNS, Choice, choice_of, choices
from eval.fit_ranker import NEIGHBOUR, coefficients_of, held_out_measure, measure, part_by_question, write_ranker
from eval.logit import fit, probabilities, stack
from eval.shops import opened, shops
from triage.growth.learn_logit import log_losses, losses_and_slack
from triage.matching.features import AGAINST, FEATURES, NEIGHBOURS, Seen
from triage.matching.fit import Fit
from triage.matching.rank import Ranker, choose
from triage.model import Question
from triage.pipeline import read

WIDTH = len(FEATURES)
FREE = [(None, None)] * len(COLUMNS)


# weights by hand: likeness strong, the rest weaker, neighbours against
TRUE = tuple(-2.0 if name in AGAINST else 4.0 if number < 4 else 1.5 for number, name in enumerate(FEATURES))
WRONG = tuple(-1.0 if name in AGAINST else 0.1 for name in FEATURES)


def seen_of(matrix: np.ndarray, excluded: np.ndarray) -> Seen:
    """What ranking sees, with a fit that excludes where told."""
    fits = [Fit(disagrees=("make",)) if out else Fit() for out in excluded]
    return Seen(np.arange(len(matrix)), matrix, fits)


def drawn(seed: int, questions: int, ranker: Ranker, answers: int = 6) -> list[Choice]:
    """Questions to two shops whose right answer is drawn from what the ranker holds probable."""
    random = np.random.default_rng(seed)
    result = []
    for number in range(questions):
        seen = seen_of(random.uniform(0, 1, (answers, WIDTH)), np.zeros(answers, bool))
        elsewhere = float(random.uniform(-1, 1))
        shares, none = choose(seen, elsewhere, ranker)
        picked = random.choice(answers + 1, p=np.append(shares, none))
        shop = "one" if number % 2 else "two"
        right = np.arange(answers) == picked
        result.append(choice_of(seen, elsewhere, right, bool(picked == answers), f"{shop}:{number}"))
    return result


@settings(deadline=None)
@given(st.integers(0, 2**32 - 1), st.floats(-3, 3), st.floats(0, 3), st.floats(-1, 1), st.floats(0.2, 3))
def test_the_fit_sees_the_probabilities_that_ranking_gives(
    seed: int, none: float, weight: float, elsewhere: float, temperature: float
) -> None:
    random = np.random.default_rng(seed)
    seen = seen_of(random.uniform(0, 1, (5, WIDTH)), np.array([False, True, False, False, True]))
    ranker = Ranker(tuple(random.normal(0, 2, WIDTH)), none, weight, temperature, nearest=none / 2)
    shares, rest = choose(seen, elsewhere, ranker)
    for right, expected in (
        (np.arange(5) == 2, shares[2]),
        (np.arange(5) == 9, rest),
        (np.arange(5) < 3, shares[:3].sum()),
    ):
        choice = choice_of(seen, elsewhere, right, not right.any(), "t:1")
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
        return data.rows.T @ losses_and_slack(at, data)[1]

    at = np.linspace(-1, 1, len(COLUMNS))
    assert check_grad(lambda x: float(log_losses(x, data).sum()), slope, at) < 1e-4


def test_the_fit_finds_the_weights_the_choices_were_drawn_with() -> None:
    found = fit(stack(drawn(7, 4000, Ranker(TRUE, 14.0, 1.0))), np.zeros(len(COLUMNS)), FREE, 0.0)
    assert found[:WIDTH] == pytest.approx(TRUE, abs=0.45)  # about four standard errors of 4000 questions


def test_a_columns_unit_does_not_matter() -> None:
    choices_ = drawn(9, 200, Ranker(TRUE, 14.0))
    scale = np.ones(len(COLUMNS))
    scale[0] = 100.0
    scaled = [Choice(c.id, c.rows * scale, c.right) for c in choices_]
    plain, other = (fit(stack(c), np.zeros(len(COLUMNS)), FREE, 0.1) for c in (choices_, scaled))
    assert plain == pytest.approx(other * scale, abs=1e-2)


def test_signs_stay_sane_on_data_that_says_the_reverse() -> None:
    ranker = fit_ranker.fit_ranker(drawn(3, 150, Ranker(tuple(-weight for weight in TRUE), 0.0)))
    signs = dict(zip(FEATURES, ranker.weights, strict=True))
    assert all(value <= NEIGHBOUR for name, value in signs.items() if name in NEIGHBOURS)
    assert all(value >= 0 for name, value in signs.items() if name not in AGAINST)
    assert ranker.temperature > 0 and ranker.elsewhere >= 0


def test_a_choice_without_a_right_row_is_refused() -> None:
    lost = choice_of(
        seen_of(np.zeros((2, WIDTH)), np.array([True, False])), 0.0, np.array([True, False]), False, "demo:q9"
    )
    with pytest.raises(ValueError, match="demo:q9"):
        stack([lost])


def test_held_out_is_worse_than_seen_and_better_than_a_wrong_ranker() -> None:
    learn = drawn(5, 200, Ranker(TRUE, 14.0))
    held_out, seen = held_out_measure(learn), measure(fit_ranker.fit_ranker(learn), learn)
    assert seen.log_loss < held_out.log_loss < measure(Ranker(WRONG, 9.0), learn).log_loss


def test_folds_share_out_every_question_and_keep_both_forms_of_a_shop_together() -> None:
    learn = drawn(2, 100, Ranker((1.0,) * WIDTH, 3.0))
    assert {part_by_question(choice) for choice in learn} == set(range(fit_ranker.FOLDS))
    plain, bare = (Choice(f"demo{form}:q7", learn[0].rows, learn[0].right) for form in ("", " bare"))
    assert part_by_question(plain) == part_by_question(bare)
    assert fit_ranker.part_by_shop(plain) == fit_ranker.part_by_shop(bare)


def test_the_set_holds_the_right_answer_as_often_as_promised() -> None:
    true = Ranker(TRUE, 14.0)
    ranker = fit_ranker.fit_ranker(drawn(21, 400, true))
    fresh = [choice for choice in drawn(22, 600, true) if not choice.right[-1]]
    held = [
        1.0 - probabilities(choice.rows @ coefficients_of(ranker))[choice.right].max() <= ranker.within
        for choice in fresh
    ]
    assert np.mean(held) > 0.85  # 0.9 promised; 600 questions scatter by 0.013


def test_a_written_ranker_is_read_again(tmp_path: Path) -> None:
    ranker = Ranker(tuple(round(0.1 * n, 4) for n in range(WIDTH)), 9.5, 1.25, 0.875, 0.75, 2.5)
    write_ranker(ranker, tmp_path / "ranker.json")
    assert Ranker.load(tmp_path / "ranker.json") == ranker


@pytest.mark.parametrize(
    ("present", "written"),
    [
        pytest.param(Ranker(TRUE, 14.0), False, id="the-present-one-is-the-true-one"),
        pytest.param(Ranker(WRONG, 9.0), True, id="the-present-one-is-poor"),
    ],
)
def test_only_a_better_ranker_is_written(
    present: Ranker, written: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(fit_ranker, "load_choices", lambda _: drawn(11, 120, Ranker(TRUE, 14.0)))
    file = tmp_path / "ranker.json"
    write_ranker(present, file)
    before = file.read_text(encoding="utf-8")
    assert fit_ranker.main(["--to", str(file), "--dry"]) == 0
    assert file.read_text(encoding="utf-8") == before
    assert fit_ranker.main(["--to", str(file)]) == 0
    assert (file.read_text(encoding="utf-8") != before) is written


def test_a_ranker_for_other_features_gives_way(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fit_ranker, "load_choices", lambda _: drawn(11, 120, Ranker(TRUE, 14.0)))
    file = tmp_path / "ranker.json"
    file.write_text('{"features": ["whole"], "weights": [1.0], "none": 0.0}', encoding="utf-8")
    assert fit_ranker.main(["--to", str(file)]) == 0
    assert len(Ranker.load(file).weights) == WIDTH


def test_the_ablation_blanks_a_group_and_nothing_else() -> None:
    (choice,) = blanked(drawn(1, 1, Ranker(TRUE, 14.0)), ["words", "elsewhere"])
    kept = {name for name, column in zip(COLUMNS, choice.rows.T, strict=True) if column.any()}
    assert kept == {"words", "elsewhere", "none"}
    assert {name for group in GROUPS.values() for name in group} == {*FEATURES, "elsewhere", "nearest"}


def test_log_losses_are_those_of_scikit_learn() -> None:
    """scikit-learn 1.9, sklearn.metrics.log_loss, over questions with the same number of answers."""
    judged, at = drawn(4, 30, Ranker(TRUE, 14.0)), np.linspace(-1, 1, len(COLUMNS))
    shares = [probabilities(choice.rows @ at) for choice in judged]
    truth = [int(choice.right.argmax()) for choice in judged]
    expected = log_loss(truth, shares, labels=range(len(judged[0].right)))
    assert log_losses(at, stack(judged)).mean() == pytest.approx(expected)

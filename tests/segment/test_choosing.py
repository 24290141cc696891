"""The programme chosen is the best there is: held against every possible set."""

from __future__ import annotations

from datetime import date
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.segment.choosing import EPSILON, CannotPlan, Wishes, choose, may_be_on
from triage.segment.programme import Candidate, Depth
from triage.segment.worth import Weights, total

WEIGHTS = Weights()


def candidate(thread: int, **more: object) -> Candidate:
    fields = {"topic": f"topic {thread}", "answerable": True, "sure": 0.9, "minutes": 2.0}
    return Candidate(thread, "{who} asks", **(fields | more))  # type: ignore[arg-type]


ASKED = st.builds(
    dict,
    topic=st.sampled_from("abcdefgh"),
    vehicle=st.sampled_from(["", "Lark", "Ridge", "Wren"]),
    system=st.sampled_from(["", "battery pack", "battery", "charger", "engine"]),
    depth=st.sampled_from(list(Depth)),
    same=st.integers(1, 9),
    season=st.sampled_from([0.0, 0.6, 1.0]),
    puzzle=st.sampled_from([0.0, 0.3, 0.4, 1.0]),
    waiting_days=st.integers(0, 40),
    answerable=st.booleans(),
    sure=st.sampled_from([0.5, 0.8, 1.0]),
    carried=st.booleans(),
    unsafe=st.sampled_from([(), (), (), ("danger reported",)]),
    aired=st.sampled_from([(), (), (), (date(2026, 11, 19),)]),
    minutes=st.sampled_from([0.5, 1.25, 2.0, 3.75]),
)


def allowed(chosen: tuple[Candidate, ...], minutes: float, wishes: Wishes) -> bool:
    topics = [one.topic for one in chosen]
    twice = {topic for topic in topics if topics.count(topic) > 1}
    locked_twice = all(one.thread in wishes.locked for one in chosen if one.topic in twice)
    return (
        sum(one.minutes for one in chosen) <= minutes + EPSILON
        and locked_twice
        and wishes.locked <= {one.thread for one in chosen}
        and all(may_be_on(one, wishes) for one in chosen)
    )


@settings(max_examples=60, deadline=None)
@given(st.lists(ASKED, min_size=1, max_size=10), st.sampled_from([0.25, 3.0, 6.0, 9.0]), st.data())
def test_no_other_set_is_worth_more(asked, minutes, data):
    candidates = [candidate(number, **one) for number, one in enumerate(asked, start=1)]
    locked = data.draw(st.sampled_from([(), (1,), (1, 2)]))
    wishes = Wishes(frozenset(locked), {3: "heard it"})
    try:
        chosen = choose(candidates, minutes, wishes)
    except CannotPlan:
        fits = [one for one in candidates if one.thread in locked and not one.unsafe]
        assert len(fits) < len(locked) or sum(one.minutes for one in fits) > minutes
        return
    sets = (found for size in range(len(candidates) + 1) for found in combinations(candidates, size))
    best = max(total(found, WEIGHTS) for found in sets if allowed(found, minutes, wishes))
    assert allowed(chosen, minutes, wishes)
    assert total(chosen, WEIGHTS) == pytest.approx(best, abs=1e-5)


def test_up_to_twelve_questions_that_all_share_something():
    """Large groups are where the lines under the pairs' cost must touch it at every count."""
    candidates = [
        candidate(n, vehicle="Lark", system="charger", depth=Depth.SHORT, same=n, minutes=1.0) for n in range(1, 13)
    ]
    chosen = choose(candidates, 12.0)
    sets = (found for size in range(13) for found in combinations(candidates, size))
    assert total(chosen, WEIGHTS) == pytest.approx(max(total(found, WEIGHTS) for found in sets))


def test_one_question_a_topic():
    twins = [candidate(1, topic="same", same=2), candidate(2, topic="same"), candidate(3)]
    assert [one.thread for one in choose(twins, 10.0)] == [1, 3]


def test_locks_and_vetoes_are_honoured():
    candidates = [candidate(n, waiting_days=n) for n in range(1, 6)]
    chosen = choose(candidates, 4.0, Wishes(frozenset({1}), {5: "no"}))
    assert [one.thread for one in chosen] == [1, 4]


@pytest.mark.parametrize(
    ("more", "kept_out"),
    [
        pytest.param({"unsafe": ("danger reported",)}, True, id="unsafe"),
        pytest.param({"aired": (date(2026, 11, 5),)}, True, id="aired lately"),
        pytest.param({"held": ("danger may be meant",)}, True, id="to be looked at first"),
        pytest.param({"answerable": False, "puzzle": 0.3}, True, id="nothing to say"),
        pytest.param({"answerable": False, "puzzle": 0.4}, False, id="no answer, but causes to go through"),
        pytest.param({}, False, id="an answer"),
    ],
)
def test_what_is_kept_out(more, kept_out):
    assert (choose([candidate(1, **more)], 10.0) == ()) is kept_out


@pytest.mark.parametrize(
    ("candidates", "wishes", "says"),
    [
        pytest.param([candidate(1)], Wishes(frozenset({7})), "question 7 is not among those", id="unknown"),
        pytest.param(
            [candidate(1, unsafe=("danger reported",))],
            Wishes(frozenset({1})),
            "question 1 must not be on: danger reported",
            id="unsafe",
        ),
        pytest.param(
            [candidate(1, minutes=3.0), candidate(2, minutes=2.5)],
            Wishes(frozenset({1, 2})),
            r"need 5.5 minutes, and there are 5.0: 1 \(3.0 min\), 2 \(2.5 min\)",
            id="too long",
        ),
        pytest.param([candidate(1)], Wishes(frozenset({1}), {1: "no"}), "1 is locked and vetoed", id="both"),
    ],
)
def test_locks_that_cannot_be_honoured_are_named_with_why(candidates, wishes, says):
    with pytest.raises(CannotPlan, match=says):
        choose(candidates, 5.0, wishes)


@pytest.mark.parametrize("more", [{"aired": (date(2026, 11, 19),)}, {"held": ("danger may be meant",)}])
def test_an_aired_question_or_one_to_be_looked_at_may_be_locked_in(more):
    again = candidate(1, **more)
    assert choose([again], 5.0, Wishes(frozenset({1}))) == (again,)


def test_nothing_to_choose_from():
    assert choose([], 30.0) == ()


def test_the_solver_prints_nothing(capfd):
    candidates = [candidate(n, vehicle=f"v{n % 5}", system=f"s{n % 7}", same=n % 4 + 1) for n in range(60)]
    choose(candidates, 25.0)
    assert capfd.readouterr() == ("", "")

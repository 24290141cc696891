"""Other post told from questions by words alone, with a toy encoder; and the shipped kinds with the shipped one."""

from __future__ import annotations

import pytest
from toys import OneHot

from triage.matching.encode import Encoder
from triage.matching.scope import ScopeReader
from triage.pack.schema import Aside

TOY = OneHot("order", "parcel", "refund", "pedal", "charger", "hello")
ORDER = Aside(id="order", reason="an order", examples=["order parcel", "order"])
REFUND = Aside(id="refund", reason="a refund", examples=["refund"])


def learnt() -> ScopeReader:
    return ScopeReader.learn([ORDER, REFUND], ["pedal", "charger", "pedal charger"], ["hello"], TOY.encode)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        pytest.param("order parcel", "order", id="an-order"),
        pytest.param("refund", "refund", id="a-refund"),
        pytest.param("pedal charger", None, id="the-trade"),
        pytest.param("hello", None, id="a-greeting"),
    ],
)
def test_tells_the_kind_of_other_post(text, kind):
    found = learnt().recognised(TOY.encode([text])[0])
    assert (found.id if found else None) == kind


def test_the_trade_scores_lower_than_a_greeting_and_other_post_higher():
    score = [learnt().score(TOY.encode([text])[0]) for text in ("pedal", "hello", "order")]
    assert score == sorted(score)


def test_a_pack_without_kinds_sets_nothing_aside():
    reader = ScopeReader.learn([], ["pedal"], [], TOY.encode)
    assert reader.recognised(TOY.encode(["order"])[0]) is None


def test_no_kind_is_told_of_the_trades_own_words():
    reader = ScopeReader.learn([ORDER], ["The cart clicks and does not move."], [], Encoder().encode)
    assert reader.recognised(Encoder().encode(["it just clicks and wont go"])[0]) is None

"""Confirmed causes move the priors as a Dirichlet mean does."""

from __future__ import annotations

from datetime import date

import pytest

from triage.growth.causes import confirmed, file_of, taken_back
from triage.pack.schema import Cause, CauseSeen
from triage.pack.seen import PRIOR_CASES, with_seen

CAUSES = {
    "pump": Cause("pump", "weak pump", 0.3, {"stalls": 0.5}, powertrain="petrol"),
    "filter": Cause("filter", "blocked filter", 0.1, {"stalls": 0.5}, powertrain="petrol"),
    "pack": Cause("pack", "flat pack", 0.2, {"dead": 0.9}, powertrain="electric"),
}


def test_the_mean_of_a_dirichlet_by_hand() -> None:
    """Filter seen 20 times: 0.4 (100 x 0.1 / 0.4 + 20) / 120 = 0.15; the pump keeps the rest of the 0.4."""
    now = with_seen(CAUSES, {"filter": CauseSeen("filter", [f"case {n}" for n in range(20)])})
    assert PRIOR_CASES == 100
    assert now["filter"].prior == pytest.approx(0.15)
    assert now["pump"].prior == pytest.approx(0.25)
    assert now["pack"] == CAUSES["pack"]  # the other powertrain's are not touched


def test_nothing_seen_changes_nothing() -> None:
    assert with_seen(CAUSES, {}) == CAUSES


def test_a_thread_counts_once_and_is_taken_back() -> None:
    on = date(2026, 11, 25)
    seen = confirmed(confirmed({}, "pump", 12, on), "filter", 12, on)
    assert file_of(seen) == "- id: filter\n  seen:\n  - thread 12, 2026-11-25\n"
    assert taken_back(confirmed(seen, "pump", 120, on), 12).keys() == {"pump"}

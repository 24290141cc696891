"""Ended by SIGKILL anywhere in its work: every message is there once after the next run, and no draft is doubled.

Twelve rounds here; `python -m eval.mailbox_kill` does two hundred and prints figures.
"""

from __future__ import annotations

import os

import pytest
from killing import Scene, run

from triage.pack import load

pytestmark = pytest.mark.skipif(os.name != "posix", reason="SIGKILL is of POSIX systems")


@pytest.fixture
def scene(dovecot, tmp_path, small_shop):
    made = Scene(dovecot, tmp_path / "queue.db", load(small_shop), seed=6)
    yield made
    made.person.imap.shutdown()


def test_twelve_rounds_lose_nothing_and_double_nothing(scene):
    found = run(scene, 12)
    assert found.wrong == []
    assert found.kills - found.ended_before_the_kill >= 12
    assert found.messages == len(scene.delivered) and found.sent > 0


@pytest.mark.parametrize(("without", "shows"), [("mark", "is there 0 times"), ("folder", "has 2 drafts")])
def test_the_same_rounds_notice_when_a_guard_is_taken_out(scene, without, shows):
    assert any(shows in what for what in run(scene, 12, without, to_the_end=False).wrong)

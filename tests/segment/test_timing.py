"""How long words take: against published rates, and against a speech synthesiser that knows nothing of this project."""

from __future__ import annotations

import shutil
import statistics
import subprocess
import wave
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest

from triage.language.aloud import spoken
from triage.pack import load
from triage.segment.clock import Item, advice, clock_plan
from triage.segment.programme import Candidate, LeftOut, Programme, Slot, Tip
from triage.segment.timing import WORDS_PER_MINUTE, Spell, count_words, rate_of, seconds

KNOWLEDGE = Path(__file__).parents[2] / "knowledge"
ESPEAK = shutil.which("espeak-ng")
TEXTS = 10


def news(words: int) -> str:
    """Sentences of fifteen words with one pause within, as the published rates are told of."""
    sentence = "The cart stood in the yard all week, and nobody knew what was wrong with it. "
    assert count_words(sentence) == 16
    return sentence * (words // 16)


@pytest.mark.parametrize("rate", [160.0, 170.0, 180.0])
def test_plain_news_takes_what_the_published_rates_say(rate: float):
    """Rodero (2012), Text & Talk 32(3): 160 to 180 words a minute are recommended on radio."""
    text = news(320)
    assert count_words(text) / seconds(text, rate) * 60 == pytest.approx(rate, rel=0.03)


def test_three_words_a_second_is_twenty_seconds_for_sixty_words():
    """Broadcast Journalism (Focal Press): British radio favours 3 words a second; a 20-second lead is 60 words."""
    assert seconds(news(64), 180) == pytest.approx(64 / 3, rel=0.03)


def test_short_sentences_take_longer_than_one_long_one():
    assert seconds("Stop. Look. Turn it off. Wait.") > seconds("Stop look turn it off wait")


def test_a_figure_takes_the_time_of_its_words():
    spoken_forms = load(KNOWLEDGE).spoken
    assert seconds(spoken("18x8.50-8", spoken_forms)) > 4 * seconds("tyre")


def test_a_host_without_past_speaks_at_the_default_rate():
    assert rate_of([]) == WORDS_PER_MINUTE


def test_twenty_minutes_of_the_hosts_own_weigh_as_much_as_the_default():
    slow = [Spell(130, 60.0)] * 20
    assert rate_of(slow) == pytest.approx((160 + 130) / 2)
    assert rate_of(slow * 20) == pytest.approx(131.4, abs=0.1)


def test_a_spell_that_was_interrupted_does_not_count():
    assert rate_of([Spell(100, 600.0), Spell(100, 3.0), Spell(100, 0.0)]) == WORDS_PER_MINUTE


@pytest.mark.skipif(not ESPEAK, reason="no espeak-ng: apt-get install espeak-ng")
def test_ten_texts_against_espeak(tmp_path: Path):
    """espeak-ng told to speak at 160 words a minute: one ratio for all texts, with little spread."""
    pack = load(KNOWLEDGE)
    answers = [answer.text for answer in pack.answers[:: len(pack.answers) // TEXTS]][:TEXTS]
    ratios = []
    for number, text in enumerate(answers):
        words = spoken(text, pack.spoken)
        file = tmp_path / f"{number}.wav"
        subprocess.run([str(ESPEAK), "-v", "en-gb", "-s", "160", "-w", str(file), words], check=True, timeout=60)
        with wave.open(str(file)) as sound:
            ratios.append(seconds(words) / (sound.getnframes() / sound.getframerate()))
    assert len(ratios) == TEXTS
    assert 0.85 < statistics.mean(ratios) < 1.25
    assert statistics.stdev(ratios) / statistics.mean(ratios) < 0.08


# The clock


def candidate(thread: int, minutes: float, same: int = 1) -> Candidate:
    return Candidate(thread, "a question", minutes=minutes, same=same, answerable=True, sure=0.9)


def programme(**changed: object) -> Programme:
    slots = tuple(Slot(candidate(n, 3.0, same=n), n, 3.0, locked=n == 1) for n in (1, 2, 3, 4))
    spare = LeftOut(candidate(9, 2.0), "no room", spare=True)
    kept: dict[str, object] = {"slots": slots, "left_out": (spare,), "reserve": 2.0, "opening": "Hello. " * 10}
    tip = Tip("t", "Mind the acid.", "common practice, no source")
    return Programme(date(2026, 11, 26), 15.0, **{**kept, "tip": tip, "closing": "Good night.", **changed})


def test_the_rows_follow_each_other():
    rows = clock_plan(programme())
    assert [row.item for row in rows] == [Item.OPENING, Item.TIP, *[Item.QUESTION] * 4, Item.LIVE, Item.CLOSING]
    assert all(one.start + one.length == pytest.approx(two.start) for one, two in pairwise(rows))


def test_a_start_at_the_late_cut_still_fits_without_live_questions():
    total = 15 * 60
    for index, row in enumerate(rows := clock_plan(programme())):
        ahead = sum(one.length for one in rows[index:] if one.item is not Item.LIVE)
        assert row.late + ahead == pytest.approx(total)
        assert row.start <= row.late


def test_running_late_drops_the_question_of_least_worth_that_frees_enough():
    late = advice(programme(), 8 * 60, handled={1}, at=2)
    assert late.spare < 0
    assert late.drop == (3,)  # 2 is being said, 4 is asked by more, 1 is through


def test_the_live_reserve_gives_way_first():
    tight = advice(programme(), 5.5 * 60, handled={1})
    assert tight.spare < 0
    assert tight.drop == ()


def test_a_locked_question_is_never_dropped():
    assert 1 not in advice(programme(), 14 * 60).drop


def test_time_to_spare_adds_what_fits():
    early = advice(programme(), 3 * 60, handled={1, 2, 3}, at=4)
    assert early.spare > 2 * 60
    assert early.add == (9,)


def test_as_planned_nothing_is_to_be_done():
    rows = clock_plan(programme())
    first = next(row for row in rows if row.item is Item.QUESTION)
    calm = advice(programme(), first.start, at=1)
    assert (calm.drop, calm.add) == ((), ())

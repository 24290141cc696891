"""The reply in blocks and back: nothing untouched changes, everything typed is there, and its source is known."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.bench.views.letter import Typed, blocks_of, dropped_notes, edited, hazard_of
from triage.model import Draft, Sentence

DRAFT = Draft(
    "Re: Lark",
    (
        Sentence("Dear Ida,", "wording:greeting", 0),
        Sentence("From your message I take it to be this: a Lark.", "wording:understood", 1),
        Sentence("It should be 48 V.", "wording:inferred", 1),
        Sentence("First, for safety:", "wording:safety_intro", 2),
        Sentence("WARNING: Key off first.", "hazard:acid", 2, True),
        Sentence("Wear goggles.", "hazard:acid", 2),
        Sentence("Measure each battery.", "answer:test", 3),
        Sentence("Write the numbers down.", "answer:test", 3),
        Sentence("- If one is low: replace it.", "answer:test", 4, True),
        Sentence("- If all are low: charge it.", "answer:test", 4, True),
        Sentence("Kind regards,\nWyn at the workshop", "wording:sign_off", 5),
    ),
)


def typed(draft: Draft) -> list[Typed]:
    return [Typed(block.text, block.source, block.opens) for block in blocks_of(draft)]


def change(draft: Draft, number: int, text: str) -> Draft:
    blocks = typed(draft)
    blocks[number] = Typed(text, blocks[number].source, blocks[number].opens)
    return edited(draft, blocks, draft.subject)


def test_blocks_follow_source_paragraph_and_bullet():
    assert [block.text for block in blocks_of(DRAFT)] == [
        "Dear Ida,",
        "From your message I take it to be this: a Lark.",
        "It should be 48 V.",
        "First, for safety:",
        "WARNING: Key off first. Wear goggles.",
        "Measure each battery. Write the numbers down.",
        "- If one is low: replace it.",
        "- If all are low: charge it.",
        "Kind regards,\nWyn at the workshop",
    ]


def test_a_letter_kept_as_it_stands_is_the_same_letter():
    assert edited(DRAFT, typed(DRAFT), DRAFT.subject).sentences == DRAFT.sentences


@pytest.mark.parametrize(
    ("block", "text", "sources"),
    [
        pytest.param(
            5, "Measure each battery. Then ring us.", ["answer:test", "reworded:answer:test"], id="one-of-two"
        ),
        pytest.param(4, "WARNING: Take care.", ["reworded:hazard:acid"], id="a-note-stays-a-note"),
        pytest.param(5, "", [], id="emptied"),
    ],
)
def test_what_was_changed_is_known_sentence_by_sentence(block, text, sources):
    before = {sentence.text for sentence in DRAFT.sentences}
    after = change(DRAFT, block, text)
    of_block = [s.source for s in after.sentences if s.text in text]
    assert of_block == sources
    assert [s.text for s in after.sentences if s.text in before and s.text not in text]


def test_paragraphs_and_bullets_typed_into_a_block_stand_on_their_own():
    after = change(DRAFT, 5, "First part.\n\nSecond part.\n- one\n- two")
    assert "First part.\n\nSecond part.\n- one\n- two\n- If one is low" in after.body.replace(
        "\n\n- If one", "\n- If one"
    )


def test_line_ends_of_a_browser_do_not_count_as_a_change():
    blocks = [Typed(b.text.replace("\n", "\r\n") + " ", b.source, b.opens) for b in typed(DRAFT)]
    assert edited(DRAFT, blocks, DRAFT.subject).sentences == DRAFT.sentences


def test_a_block_more_is_a_paragraph_by_its_writer():
    after = edited(DRAFT, [*typed(DRAFT), Typed("See you on Friday.", "written:Wyn")], "")
    assert after.body.endswith("Wyn at the workshop\n\nSee you on Friday.")
    assert after.sentences[-1].source == "written:Wyn"
    assert after.subject == "Re: Lark"


def test_blocks_know_their_own_words_when_one_before_them_is_gone():
    """A page that asked for a reason comes back with one block less than the version it was made from."""
    without = [block for block in typed(DRAFT) if block.source != "hazard:acid"]
    after = edited(DRAFT, without, DRAFT.subject)
    assert not [s for s in after.sentences if s.source.startswith("reworded:")]
    assert dropped_notes(DRAFT, after) == ("acid",)


@pytest.mark.parametrize(
    ("block", "text", "dropped"),
    [
        pytest.param(4, "WARNING: Mind the acid.", (), id="reworded"),
        pytest.param(4, "", ("acid",), id="emptied"),
        pytest.param(4, " \r\n ", ("acid",), id="blank"),
        pytest.param(5, "", (), id="no-note"),
    ],
)
def test_a_safety_note_is_missed_when_it_is_gone_not_when_it_is_reworded(block, text, dropped):
    assert dropped_notes(DRAFT, change(DRAFT, block, text)) == dropped


def test_a_note_reworded_twice_is_still_that_note():
    once = change(DRAFT, 4, "WARNING: Mind the acid.")
    twice = change(once, 4, "Mind the acid, please.")
    assert hazard_of(blocks_of(twice)[4].source) == "acid"
    assert dropped_notes(DRAFT, twice) == ()


WORDS = st.text(st.characters(codec="utf-8", exclude_characters="\r", exclude_categories=("Cs", "Cc")), max_size=80)


@given(text=WORDS, block=st.integers(0, 8))
def test_every_word_typed_is_in_the_letter(text, block):
    after = change(DRAFT, block, text)
    assert [word for word in text.split() if word not in after.body] == []


@given(text=WORDS, block=st.integers(0, 8))
def test_keeping_twice_changes_nothing_more(text, block):
    once = change(DRAFT, block, text)
    assert edited(once, typed(once), once.subject).body == once.body

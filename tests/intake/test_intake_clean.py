# ruff: noqa: E501 - tables read better one case a line
"""Own words, history, forwards and signatures told apart; nothing lost."""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.intake import clean

WROTE = "On Mon, 5 Jan 2026 at 10:00, Workshop <workshop@harrowlane.example> wrote:"
HEADER = "From: Workshop <workshop@harrowlane.example>\nSent: 5 January 2026 10:00\nTo: Jo\nSubject: Re: hum"


@pytest.mark.parametrize(
    ("body", "text", "quoted", "signature"),
    [
        pytest.param("Still dead.\n\n" + WROTE + "\n> Try this.", "Still dead.", WROTE + "\n> Try this.", "", id="top"),
        pytest.param(WROTE + "\n> Try this.\n\nStill dead.", "Still dead.", WROTE + "\n> Try this.", "", id="bottom"),
        pytest.param(
            "Hi,\n\n> Is it 48 V?\nYes.\n> Lifted?\nNo.", "Hi,\n\nYes.\n\nNo.", "> Is it 48 V?\n\n> Lifted?", "",
            id="interleaved",
        ),
        pytest.param("No.\n\n" + WROTE + "\nTry this.\nOr that.", "No.", WROTE + "\nTry this.\nOr that.", "", id="unmarked"),
        pytest.param("No.\n\n" + HEADER + "\n\nTry this.", "No.", HEADER + "\n\nTry this.", "", id="header-block"),
        pytest.param("No.\n________________________________\n" + HEADER + "\nTry.", "No.",
                     "________________________________\n" + HEADER + "\nTry.", "", id="ruled-header-block"),
        pytest.param("No.\n-----Original Message-----\nTry.", "No.", "-----Original Message-----\nTry.", "", id="original"),
        pytest.param("It hums.\n\n-- \nJo\nRiver Farm", "It hums.", "", "-- \nJo\nRiver Farm", id="delimiter"),
        pytest.param("It hums.\n--\nJo", "It hums.", "", "--\nJo", id="delimiter-without-space"),
        pytest.param("It hums.\n\nThanks,\nJo\n555-0101", "It hums.", "", "Thanks,\nJo\n555-0101", id="sign-off"),
        pytest.param("It hums.\n\nMany thanks and kind regards, Jo", "It hums.", "", "Many thanks and kind regards, Jo",
                     id="sign-off-one-line"),
        pytest.param("It hums.\n\nSent from my handset", "It hums.", "", "Sent from my handset", id="sent-from"),
        pytest.param("It hums.\n\nCheers\njo\n\nSent from my handset", "It hums.", "", "Cheers\njo\n\nSent from my handset",
                     id="sign-off-and-sent-from"),
        pytest.param("It hums.\n\n-Jo", "It hums.", "", "-Jo", id="dash-name"),
        pytest.param("It hums.\n\nJo Marsh\nRiver Farm\nTel: 555-0101\njo@mail.example", "It hums.", "",
                     "Jo Marsh\nRiver Farm\nTel: 555-0101\njo@mail.example", id="contact-block"),
        pytest.param("It hums.\n\nThanks\nJo\n\n" + WROTE + "\n> Try.", "It hums.", WROTE + "\n> Try.", "Thanks\nJo",
                     id="signature-above-the-quote"),
        pytest.param("It hums.\n\n-- \nJo\n\nPS: it is lifted.", "It hums.\n\nPS: it is lifted.", "", "-- \nJo", id="postscript"),
        pytest.param("CAUTION: This mail originated outside.\n\nIt hums.", "It hums.", "",
                     "CAUTION: This mail originated outside.", id="warning-on-top"),
        pytest.param("It hums.\n\nThis message is confidential and intended for the recipient only.", "It hums.", "",
                     "This message is confidential and intended for the recipient only.", id="legal-notice"),
    ],
)  # fmt: skip
def test_parts_told_apart(body, text, quoted, signature):
    cleaned = clean(body)
    assert (cleaned.text, cleaned.quoted, cleaned.signature) == (text, quoted, signature)


@pytest.mark.parametrize(
    "body",
    [
        "On Monday it stopped. On Tuesday I wrote:\nno luck with it",
        "Thanks, it works now but it hums",
        "Thanks for the quick reply.\nIt is a 2012 with six batteries.",
        "It hums.\n\nThanks\nJo\n2012, 48 V, lifted",
        "It hums.\n\nThanks\ncan it be the brake?",
        "Thanks,\nJo",
        "Readings:\n- one 8.1\n- two 8.2\n\nAll at rest.",
        "Sent from my desk, is much easier than from the barn.",
        "Pack is fine -- this is no signature.",
        "From: the road it looks fine\nTo: the eye it looks bent",
        "Wiring:\n--------\nred to plus\nblack to minus\nIs that right?",
        "Call me, my number is 555-0101.",
        "Caution: do you say that for all packs?\n\nI wonder.",
    ],
)
def test_a_persons_words_stay_in_the_text(body):
    cleaned = clean(body)
    assert (cleaned.text, cleaned.quoted, cleaned.forwarded, cleaned.signature) == (body, "", "", "")


@pytest.mark.parametrize(
    ("writer", "signature"),
    [
        ("Dot Hallam", "Dot"),
        ("Dot Hallam", "Dot H."),
        ("Hallam, Dot", "D. Hallam"),
        ("Peter Whitlow", "PW"),
        ("Lorcan Daly", "Lórcán"),
        ("Gus Ferrant", "thx gus"),
        ("Len Oddy", "Len Oddy\nOddy & Daughter, Top Farm"),
    ],
)
def test_a_line_that_is_only_the_writers_name_signs(writer, signature):
    """A first name may also be a vehicle's: left in the text it would be read as one."""
    assert clean(f"It clicks.\n\n{signature}", writer=writer).signature == signature
    assert clean(f"It clicks.\n\n{signature}?", writer=writer).signature == ""
    assert clean(f"It clicks.\n\n{signature} 2010", writer=writer).signature == ""


def test_forwarded_block_is_set_aside():
    mark = "---------- Forwarded message ---------\n"
    cleaned = clean("Can you help?\n\n" + mark + HEADER + "\n\nIt hums.")
    assert (cleaned.text, cleaned.quoted) == ("Can you help?", "")
    assert cleaned.forwarded == mark + HEADER + "\n\nIt hums."


def test_unmarked_copy_is_forwarded_when_the_subject_says_so():
    assert clean("See below.\n\n" + HEADER + "\n\nIt hums.", "Fw: hum").forwarded.endswith("It hums.")


def test_a_bare_forward_is_read_as_the_question():
    mark = "Begin forwarded message:\n\n"
    cleaned = clean(mark + HEADER + "\n\nIt hums.\n\nThanks,\nAl")
    assert (cleaned.text, cleaned.signature) == ("It hums.", "Thanks,\nAl")
    assert cleaned.forwarded == mark + HEADER
    assert cleaned.notes == ("the mail holds only a copied message: its text is read as the question",)


LINES = st.sampled_from(
    ["It hums.", "", "> Try this.", ">> And that.", WROTE, "-- ", "--", "Thanks,", "Jo", "555-0101", *HEADER.split("\n"),
     "PS: lifted", "Begin forwarded message:", "Sent from my handset", "________________________________",
     "-----Original Message-----", "Is it safe?", "CAUTION: originated outside", "  indented", "- item"]
)  # fmt: skip


def lines_of(*texts: str) -> Counter[str]:
    return Counter(line.strip() for text in texts for line in text.split("\n") if line.strip())


@given(st.lists(LINES, max_size=25), st.sampled_from(["", "Fw: hum", "Re: hum"]))
def test_nothing_is_lost_and_nothing_doubled(lines, subject):
    body = "\n".join(lines)
    cleaned = clean(body, subject)
    assert lines_of(cleaned.text, cleaned.quoted, cleaned.forwarded, cleaned.signature) == lines_of(body)


@given(st.text(max_size=400))
def test_any_text_is_taken_apart_without_loss(body):
    cleaned = clean(body)
    assert lines_of(cleaned.text, cleaned.quoted, cleaned.forwarded, cleaned.signature) == lines_of(body)

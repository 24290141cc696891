# ruff: noqa: E501 - tables read better one case a line
"""Threads by RFC 5256, whole and one message at a time; ids and duplicates."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.intake import (
    base_subject,
    content_hash,
    distinct_id,
    from_text,
    is_reply_or_forward,
    parse_message,
    place,
    thread_key,
    thread_messages,
)
from triage.model import Address, Message

SHOP, JO, AL = (Address(f"{name}@mail.example") for name in ("shop", "jo", "al"))


def message(
    name: str, *refs: str, day: int = 1, subject: str = "", sender: Address = JO, to: Address = SHOP
) -> Message:
    sent = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(days=day)
    return Message(name, "mail", sender, subject, sent, text=name, references=refs, to=(to,))


@pytest.mark.parametrize(
    ("subject", "base", "marked"),
    [
        ("Brake squeal", "Brake squeal", False),
        ("Re: Brake squeal", "Brake squeal", True),
        ("RE:Fw:  fwd: Brake   squeal", "Brake squeal", True),  # (1) white space, (5) repeat
        ("Re[2]: Brake squeal", "Brake squeal", True),  # subj-refwd with a blob
        ("[shop] Brake squeal", "Brake squeal", False),  # (4) subj-blob
        ("[shop] Re: [list] Brake squeal", "Brake squeal", True),
        ("[shop]", "[shop]", False),  # (4) unless nothing would be left
        ("Re: [shop]", "[shop]", True),
        ("Brake squeal (fwd)", "Brake squeal", True),  # (2) subj-trailer
        ("Brake squeal (fwd) (FWD)  ", "Brake squeal", True),
        ("[Fwd: Brake squeal]", "Brake squeal", True),  # (6) subj-fwd-hdr and subj-fwd-trl
        ("[fwd: Re: [shop] Brake squeal (fwd)]", "Brake squeal", True),
        ("Reverse: no drive", "Reverse: no drive", False),
        ("Forward: no drive", "Forward: no drive", False),
        ("re", "re", False),
        ("Re:", "", True),
        ("", "", False),
    ],
)
def test_base_subject(subject, base, marked):
    """RFC 5256 section 2.1."""
    assert (base_subject(subject), is_reply_or_forward(subject)) == (base, marked)


@pytest.mark.parametrize(
    ("messages", "threads"),
    [
        pytest.param([message("a"), message("b")], [("a",), ("b",)], id="strangers"),
        pytest.param([message("b", "a"), message("a")], [("a", "b")], id="child-arrives-first"),
        pytest.param(
            # RFC 5256 section 4's shape "(3 6 (4 23)(44 7 96))": a thread that branches
            [message("3"), message("6", "3"), message("4", "3", "6", day=2), message("23", "3", "6", "4", day=3),
             message("44", "3", "6", day=4), message("7", "3", "6", "44", day=5), message("96", "3", "6", "44", "7", day=6)],
            [("3", "6", "4", "23", "44", "7", "96")], id="branches-depth-first",
        ),
        pytest.param([message("b", "x"), message("c", "x", day=2)], [("b", "c")], id="parent-never-seen"),
        pytest.param([message("c", "a", "b"), message("a")], [("a", "c")], id="middle-never-seen"),
        pytest.param([message("a", "b"), message("b", "a")], [("b", "a")], id="a-loop-is-cut"),
        pytest.param([message("a", "a")], [("a",)], id="names-itself"),
        pytest.param([message("b", day=2), message("a", day=1)], [("a",), ("b",)], id="threads-by-date"),
        pytest.param([message("a"), message("a")], [("a",)], id="same-mail-twice"),
    ],
)  # fmt: skip
def test_threads_by_references(messages, threads):
    """RFC 5256 section 3, REFERENCES."""
    assert thread_messages(messages) == threads


def test_in_reply_to_counts_only_without_references():
    child = replace(message("b", "a"), in_reply_to=("z",))
    assert thread_messages([message("a"), child, message("z")]) == [("a", "b"), ("z",)]
    assert thread_messages([message("z"), replace(message("b"), in_reply_to=("z",))]) == [("z", "b")]


QUESTION = message("q", subject="Brake squeal")


@pytest.mark.parametrize(
    ("later", "joined"),
    [
        pytest.param(message("r", day=2, subject="Re: Brake squeal"), True, id="same-writer-says-re"),
        pytest.param(message("r", day=2, subject="Fwd: Brake squeal"), True, id="forward"),
        pytest.param(message("r", day=2, subject="Re: brake squeal", sender=SHOP, to=JO), True, id="shop-answers"),
        pytest.param(message("r", day=2, subject="Brake squeal"), False, id="no-re"),
        pytest.param(message("r", day=2, subject="Re: Brake squeal", sender=AL), False, id="other-people"),
        pytest.param(message("r", day=2, subject="Re: Brakes"), False, id="other-subject"),
        pytest.param(message("r", "x", day=2, subject="Re: Brake squeal"), False, id="has-references"),
    ],
)
def test_subject_joins_only_a_reply_among_the_same_people(later, joined):
    """RFC 5256 step 5 made stricter: two customers with one subject stay apart."""
    assert thread_messages([QUESTION, later]) == ([("q", "r")] if joined else [("q",), ("r",)])


@given(st.data(), st.integers(2, 9))
def test_one_at_a_time_in_any_order_gives_the_same_threads(data, size):
    """A family of full References chains, arriving in any order, ends in the threads of the whole collection."""
    chains: list[tuple[str, ...]] = []
    for number in range(size):
        parent = data.draw(st.integers(-1, number - 1))
        chains.append((*chains[parent], str(parent)) if parent >= 0 else ())
    messages = [message(str(n), *chain, day=n) for n, chain in enumerate(chains)]
    store: dict[str, str] = {}
    for one in data.draw(st.permutations(messages)):
        found = place(one, store.get)
        store.update({i: found.thread for i, key in store.items() if key in found.merges})
        store.update(dict.fromkeys(found.remember, found.thread))
    groups: dict[str, set[str]] = {}
    for one in messages:
        groups.setdefault(store[one.id], set()).add(one.id)
    assert sorted(map(sorted, groups.values())) == sorted(sorted(t) for t in thread_messages(messages))


def test_unknown_parents_are_remembered():
    found = place(message("c", "a", "b"), {}.get)
    assert (found.thread, found.remember, found.merges) == ("a", ("a", "b", "c"), ())
    store = dict.fromkeys(found.remember, found.thread)
    assert thread_key(message("a"), store.get) == "a"
    assert thread_key(message("d", "b"), store.get) == "a"


def test_a_late_link_merges_two_threads():
    store = {"a": "t1", "b": "t2"}
    found = place(message("c", "a", "b"), store.get)
    assert (found.thread, found.merges) == ("t2", ("t1",))


MAIL = b"From: jo@mail.example\nSubject: hum\nDate: Fri, 2 Jan 2026 10:00:00 +0000\n%s\nIt hums when\nI brake.\n"


def test_same_mail_twice_has_one_id_however_it_travelled():
    first = parse_message(MAIL % b"Received: by a\n")
    again = parse_message((MAIL % b"Received: by b\n").replace(b"\n", b"\r\n"))
    assert first.id == again.id
    assert first.id.startswith("sha256:")


@pytest.mark.parametrize(
    "change", [(b"brake", b"steer"), (b"hum\n", b"hum!\n"), (b"jo@", b"al@"), (b"2 Jan", b"3 Jan")]
)
def test_other_content_has_another_id(change):
    assert parse_message((MAIL % b"").replace(*change)).id != parse_message(MAIL % b"").id


def test_shared_message_id_keeps_both():
    first = parse_message(MAIL % b"Message-ID: <1@mail.example>\n")
    other = parse_message((MAIL % b"Message-ID: <1@mail.example>\n").replace(b"hums", b"squeals"))
    assert first.id == other.id == "1@mail.example"
    assert distinct_id(other) == f"1@mail.example+{content_hash(other)[:12]}"
    assert thread_messages([first, other]) == [("1@mail.example",), (distinct_id(other),)]


def test_typed_note_is_known_by_its_content():
    sent = datetime(2026, 1, 2, tzinfo=UTC)
    note = from_text("  Called about a hum.\n", sender="Jo <JO@mail.example>", subject="hum", sent=sent)
    assert (note.text, note.sender, note.channel) == (
        "Called about a hum.",
        Address("jo@mail.example", "Jo"),
        "phone",
    )
    assert note.id == from_text("Called about a hum.", sender="Jo <jo@mail.example>", subject="hum", sent=sent).id
    assert from_text("x", sender="Jo").sender == Address("", "Jo")
    assert from_text("> 48 V, he says", channel="phone").text == "> 48 V, he says"

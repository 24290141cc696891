"""Worked examples of RFC 5322 appendix A: what a reader of mail must get right."""

from datetime import UTC, datetime, timedelta, timezone

import pytest

from triage.intake import MalformedMessage, parse_message
from triage.model import Address

A_1_1 = b"""From: John Doe <jdoe@machine.example>
To: Mary Smith <mary@net.example>
Subject: Saying Hello
Date: Fri, 21 Nov 1997 09:55:06 -0600
Message-ID: <1234@local.machine.example>

This is a message just to say hello.
So, "Hello".
"""

A_1_2 = b"""From: "Joe Q. Public" <john.q.public@com.example>
To: Mary Smith <mary@x.example>, jdoe@org.example, Who? <one@y.example>
Cc: <boss@nil.example>, "Giant; \\"Big\\" Box" <sysservices@net.example>
Date: Tue, 1 Jul 2003 10:52:37 +0200
Message-ID: <5678.21-Nov-1997@com.example>

Hi everyone.
"""

A_1_3 = b"""From: Pete <pete@silly.example>
To: A Group:Ed Jones <c@a.example>,joe@where.example,John <jdoe@one.example>;
Cc: Undisclosed recipients:;
Date: Thu, 13 Feb 1969 23:32:54 -0330
Message-ID: <testabcd.1234@silly.example>

Testing.
"""

A_2 = b"""From: Mary Smith <mary@net.example>
To: John Doe <jdoe@machine.example>
Reply-To: "Mary Smith: Personal Account" <smith@home.example>
Subject: Re: Saying Hello
Date: Fri, 21 Nov 1997 10:01:10 -0600
Message-ID: <3456@net.example>
In-Reply-To: <1234@local.machine.example>
References: <1234@local.machine.example>

This is a reply to your hello.
"""

A_5 = b"""From: Pete(A nice \\) chap) <pete(his account)@silly.example(his host)>
To:A Group(Some people)
     :Chris Jones <c@(Chris's host.)public.example>,
         joe@org.example,
  John <jdoe@one.example> (my dear friend); (the end of the group)
Cc:(Empty list)(start)Hidden recipients  :(nobody(that I know))  ;
Date: Thu,
      13
        Feb
          1969
      23:32
               -0330 (Newfoundland Time)
Message-ID:              <testabcd.1234@silly.example>

Testing.
"""

A_6_1 = b"""From: Joe Q. Public <john.q.public@com.example>
To: Mary Smith <@node.example:mary@net.example>, , jdoe@test  . example
Date: Tue, 1 Jul 2003 10:52:37 +0200
Message-ID: <5678.21-Nov-1997@com.example>

Hi everyone.
"""

A_6_3 = b"""From  : John Doe <jdoe@machine(comment).  example>
To    : Mary Smith
\x20\x20
          <mary@net.example>
Subject     : Saying Hello
Date  : Fri, 21 Nov 1997 09(comment):   55  :  06 -0600
Message-ID  : <1234   @   local(blah)  .machine .example>

This is a message just to say hello.
So, "Hello".
"""


def test_a_1_1_simple_message():
    message = parse_message(A_1_1)
    assert message.sender == Address("jdoe@machine.example", "John Doe")
    assert message.to == (Address("mary@net.example", "Mary Smith"),)
    assert (message.id, message.subject) == ("1234@local.machine.example", "Saying Hello")
    assert message.sent == datetime(1997, 11, 21, 9, 55, 6, tzinfo=timezone(timedelta(hours=-6)))
    assert message.text == 'This is a message just to say hello.\nSo, "Hello".'
    assert message.raw == A_1_1


def test_a_1_2_several_mailboxes():
    message = parse_message(A_1_2)
    assert message.sender == Address("john.q.public@com.example", "Joe Q. Public")
    assert [a.email for a in message.to] == [
        "mary@x.example",
        "jdoe@org.example",
        "one@y.example",
        "boss@nil.example",
        "sysservices@net.example",
    ]
    assert message.to[-1].name == 'Giant; "Big" Box'


def test_a_1_3_groups_are_flattened():
    assert [a.email for a in parse_message(A_1_3).to] == [
        "c@a.example",
        "joe@where.example",
        "jdoe@one.example",
    ]


def test_a_2_reply_names_its_parent():
    message = parse_message(A_2)
    assert message.in_reply_to == message.references == ("1234@local.machine.example",)
    assert message.reply_to == Address("smith@home.example", "Mary Smith: Personal Account")


def test_a_5_white_space_and_comments():
    message = parse_message(A_5)
    assert message.sender == Address("pete@silly.example", "Pete")
    assert [a.email for a in message.to] == ["c@public.example", "joe@org.example", "jdoe@one.example"]
    assert message.id == "testabcd.1234@silly.example"
    assert message.sent == datetime(1969, 2, 14, 3, 2, tzinfo=UTC)


def test_a_6_1_obsolete_addressing():
    message = parse_message(A_6_1)
    assert message.sender.email == "john.q.public@com.example"
    assert [a.email for a in message.to] == ["mary@net.example", "jdoe@test.example"]


def test_a_6_2_obsolete_date():
    message = parse_message(A_1_1.replace(b"Fri, 21 Nov 1997 09:55:06 -0600", b"21 Nov 97 09:55:06 GMT"))
    assert message.sent == datetime(1997, 11, 21, 9, 55, 6, tzinfo=UTC)


def test_a_6_3_obsolete_white_space():
    message = parse_message(A_6_3)
    assert message.sender == Address("jdoe@machine.example", "John Doe")
    assert message.to == (Address("mary@net.example", "Mary Smith"),)
    assert message.id == "1234@local.machine.example"
    assert message.sent == parse_message(A_1_1).sent


@pytest.mark.parametrize(
    ("date", "note"),
    [
        (b"yesterday", "date cannot be read: yesterday"),
        (b"Fri, 99 Nov 1997 09:55:06 -0600", "date cannot be read: Fri, 99 Nov 1997 09:55:06 -0600"),
    ],
)
def test_a_date_that_cannot_be_read_is_noted(date, note):
    message = parse_message(A_1_1.replace(b"Fri, 21 Nov 1997 09:55:06 -0600", date))
    assert message.sent is None
    assert note in message.notes


def test_references_keep_root_and_newest_ids():
    """No honest chain is longer than a hundred."""
    chain = b" ".join(b"<%d@a.example>" % n for n in range(500))
    refs = parse_message(A_1_1.replace(b"Subject:", b"References: " + chain + b"\nSubject:")).references
    assert (len(refs), refs[0], refs[-1]) == (100, "0@a.example", "499@a.example")


def test_in_reply_to_may_hold_free_text():
    """RFC 822 allowed phrases there; only what stands in angle brackets is an id."""
    mail = A_2.replace(b"In-Reply-To: <1234", b"In-Reply-To: your note of Friday <1234")
    assert parse_message(mail).in_reply_to == ("1234@local.machine.example",)


@pytest.mark.parametrize(
    ("raw", "reason"),
    [
        (b"", "is empty"),
        (b" \r\n\r\n", "is empty"),
        (b"no header here at all", "no mail header"),
        (b"X-Thing: 1\n\nbody", "no mail header"),
    ],
)
def test_what_is_no_mail_is_refused_with_its_reason(raw, reason):
    with pytest.raises(MalformedMessage, match=reason):
        parse_message(raw)


def test_a_message_above_the_bound_is_refused():
    with pytest.raises(MalformedMessage, match="has 67 MB, more than the 64 MiB"):
        parse_message(A_1_1 + b"x" * (64 * 1024 * 1024))

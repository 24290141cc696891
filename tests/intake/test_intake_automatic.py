"""Which mail no person wrote: RFC 3834, RFC 2369, RFC 2919, RFC 3464."""

import pytest

from triage.intake import automatic_reason, parse_message


@pytest.mark.parametrize(
    ("headers", "part"),
    [
        ({"Auto-Submitted": "auto-replied"}, "Auto-Submitted: auto-replied"),  # RFC 3834 section 5
        ({"AUTO-SUBMITTED": "auto-generated; x=y"}, "Auto-Submitted: auto-generated"),
        ({"Auto-Submitted": "auto-notified (by a script)"}, "Auto-Submitted: auto-notified"),
        ({"Return-Path": "<>"}, "empty return path"),  # RFC 3834 section 2, RFC 5321 section 4.5.5
        ({"From": "MAILER-DAEMON@mx.example"}, "mail system"),
        ({"From": '"Mail" <postmaster@mx.example>'}, "mail system"),
        ({"Content-Type": 'multipart/report; report-type=delivery-status; boundary="b"'}, "delivery-status"),
        ({"Content-Type": "multipart/report"}, "report of the mail system"),  # RFC 3464
        ({"List-Id": "Carts <carts.list.example>"}, "List-Id"),  # RFC 2919
        ({"List-Unsubscribe": "<mailto:off@list.example>"}, "List-Unsubscribe"),  # RFC 2369
        ({"Precedence": "Bulk"}, "Precedence: bulk"),
        ({"Precedence": "list"}, "Precedence: list"),
        ({"From": "no-reply@news.example"}, "takes no replies"),
        ({"From": "donotreply@news.example", "Reply-To": "noreply@news.example"}, "takes no replies"),
    ],
)
def test_automatic_mail_says_why(headers, part):
    assert part in automatic_reason(headers)


@pytest.mark.parametrize(
    "headers",
    [
        {"From": "jo@mail.example", "Return-Path": "<jo@mail.example>", "Content-Type": "text/plain"},
        {"Auto-Submitted": "no"},  # RFC 3834 section 5: "no" is a person's mail
        {"Precedence": "first-class"},
        {"X-Auto-Response-Suppress": "All"},  # a request for silence, no proof
        {"From": "noreply@forms.example", "Reply-To": "jo@mail.example"},  # a web form, for a customer
        {"From": "my-postmaster-fan@mail.example"},
        {},
    ],
)
def test_a_persons_mail_has_no_reason(headers):
    assert automatic_reason(headers) == ""


def test_the_reason_travels_with_the_message():
    message = parse_message(b"From: a@mail.example\nAuto-Submitted: auto-replied\nSubject: Away\n\nI am away.")
    assert message.automatic == "says so itself (Auto-Submitted: auto-replied)"

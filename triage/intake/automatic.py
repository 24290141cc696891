"""Mail that no person wrote to us: automatic replies, reports of delivery, lists and bulk mail."""

from __future__ import annotations

import re
from collections.abc import Mapping

# RFC 2369 (List-*), RFC 2919 (List-Id), RFC 8058 (one-click unsubscribe).
_LIST_FIELDS = (
    "list-id",
    "list-post",
    "list-help",
    "list-subscribe",
    "list-unsubscribe",
    "list-unsubscribe-post",
    "list-owner",
    "list-archive",
)
_BULK = frozenset({"bulk", "junk", "list", "auto_reply"})
_ROBOTS = re.compile(r"[<\s\"]?(?:mailer-daemon|postmaster)(?:@|>|\s|$)", re.IGNORECASE)
_NO_REPLY = re.compile(r"\b(?:no-?reply|do-?not-?reply)\b[\w.+-]*@", re.IGNORECASE)
_COMMENT = re.compile(r"\([^()]*\)")
_REPORT = re.compile(r"\s*multipart/report\b", re.IGNORECASE)
_REPORT_TYPE = re.compile(r"report-type\s*=\s*\"?([\w-]+)", re.IGNORECASE)


def automatic_reason(headers: Mapping[str, str]) -> str:
    """Why a mail with these headers is automatic, in plain words; "" for a person's message.

    Names are compared without case. Rules: RFC 3834 section 2, RFC 2369, RFC 2919, RFC 3464. A mere request
    for silence (X-Auto-Response-Suppress) proves nothing and is not looked at. A sender that takes no replies
    counts only where no other Reply-To is given: web forms write on a customer's behalf that way.

    >>> automatic_reason({"Auto-Submitted": "auto-replied (vacation)"})
    'says so itself (Auto-Submitted: auto-replied)'
    """
    low = {name.lower(): value for name, value in headers.items()}
    rules = (_submitted, _report, _null_path, _robot, _list_mail, _precedence, _no_reply)
    return next((reason for rule in rules if (reason := rule(low))), "")


def _submitted(headers: Mapping[str, str]) -> str:
    value = _COMMENT.sub("", headers.get("auto-submitted", "")).partition(";")[0].strip().lower()
    return f"says so itself (Auto-Submitted: {value})" if value not in ("", "no") else ""


def _report(headers: Mapping[str, str]) -> str:
    content_type = headers.get("content-type", "")
    if not _REPORT.match(content_type):
        return ""
    kind = _REPORT_TYPE.search(content_type)
    return f"report of the mail system ({kind[1].lower() if kind else 'multipart/report'})"


def _null_path(headers: Mapping[str, str]) -> str:
    return "empty return path (Return-Path: <>)" if headers.get("return-path", "").strip() == "<>" else ""


def _robot(headers: Mapping[str, str]) -> str:
    sender = _ROBOTS.search(headers.get("from", "")) or _ROBOTS.search(headers.get("return-path", ""))
    return "sent by the mail system (mailer-daemon or postmaster)" if sender else ""


def _list_mail(headers: Mapping[str, str]) -> str:
    found = next((name for name in _LIST_FIELDS if headers.get(name)), "")
    return f"list or bulk mail ({found.title()})" if found else ""


def _precedence(headers: Mapping[str, str]) -> str:
    value = headers.get("precedence", "").strip().lower()
    return f"list or bulk mail (Precedence: {value})" if value in _BULK else ""


def _no_reply(headers: Mapping[str, str]) -> str:
    reply_to = headers.get("reply-to", "")
    answerable = "@" in reply_to and not _NO_REPLY.search(reply_to)
    return "sender takes no replies" if _NO_REPLY.search(headers.get("from", "")) and not answerable else ""

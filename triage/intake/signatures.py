"""Where a signature starts: delimiter, sign-off, "Sent from my ...", contact block, legal notice."""

from __future__ import annotations

import re
import unicodedata

from triage.intake.flowed import SIGNATURE
from triage.intake.quotes import Kind

_DELIMITER = re.compile(r"(?:--|—|–|—-)\s*$|_{10,}\s*$")
_SENT_FROM = re.compile(
    r"\s*[*_]?(?:sent (?:from|via|with|using)|get [\w ]{2,30} for|gesendet von|von meinem [\w ]+ gesendet"
    r"|envoyé de|enviado desde|sendt fra|skickat från|verzonden (?:vanaf|met)|inviato da|wysłane z)"
    r"\s+[^,;?!:<>]{2,50}(?:<\S{0,300}>)?$",
    re.IGNORECASE,
)
_NOTICE = re.compile(
    r"\W{0,3}(?:caution|disclaimer|confidentiality(?: notice)?|legal notice)\b"
    r"|this (?:e-?mail|message)\b.{0,60}\b(?:confidential|intended|privileged|originated|scanned)",
    re.IGNORECASE,
)
_NOTICE_WORDS = re.compile(
    r"originated|outside|confidential|intended|recipient|privileged|unlawful|scanned", re.IGNORECASE
)
_CLOSING_WORDS = """
    best cheers cordially greetings regards respect respectfully sincerely ta thank thanks thx tia ty
    wish wishes yours danke gracias grazie groet groeten grüße grüßen hilsen hälsning kh merci mvh
    poważaniem powazaniem pozdrawiam tack takk"""
_OTHER_WORDS = """
    a advance again all and any appreciate bw every everybody everyone faithfully for friendly good help
    in it kind kindest lot many much so the time to truly very warm warmest with you your freundlichen
    med met mit vennlig venlig vriendelijke vänlig z & +"""
_CLOSING = frozenset(_CLOSING_WORDS.split())
_AROUND = frozenset(_OTHER_WORDS.split())
_DASH_NAME = re.compile(r"\s{0,3}[-–—~/]\s?[A-ZÀ-Þ][\w.'’-]+(?:\s(?:[A-ZÀ-Þ][\w.'’-]*|de|van|von)){0,3}\s*$")
_NAME_WORD = re.compile(r"[A-ZÀ-Þ(&|+/–—-][\w.'’()&|/-]*,?$|(?:of|the|and|at|for|de|van|von|der)$")
_CONTACT = re.compile(
    r"[\w.+-]+@[\w-]+\.\w|https?://|\bwww\.|\b(?:tel|phone|mobile|cell|fax|direct|office|mob|ph|t|m)\s?[.:]"
    r"|\+?\(?\d[\d ().-]{6,}\d|\b\d{3}[-. ]\d{4}\b",
    re.IGNORECASE,
)
_STREET = re.compile(r"\d+\w?,? .*\b(?:lane|street|road|st|rd|avenue|ave|drive|way|close|court|unit)\b\.?", re.I)
_POSTSCRIPT = re.compile(r"\s*p\.?\s?s\.?\b(?!\w)", re.IGNORECASE)
_REACH = 60  # lines from the end of a run in which a signature may start


def label_signatures(lines: list[str], kinds: list[Kind], writer: str = "") -> list[Kind]:
    """`kinds` with signature lines told apart from the asker's own words.

    Only the end of a run of own lines can be a signature, and only after own words: a mail is never all
    signature. `writer` is the sender's name: a line that is no more than it opens one. A postscript
    below the signature stays own text.
    """
    kinds, names = list(kinds), _names(writer)
    worded = False
    for start, end in _own_runs(kinds):
        notice = _top_notice(lines, start, end) if not worded else start
        kinds[start:notice] = [Kind.SIGNATURE] * (notice - start)
        opening = _opening(lines, notice, end, worded, names)
        for at in range(opening, end):
            kinds[at] = Kind.SIGNATURE
        _keep_postscript(lines, kinds, opening, end)
        worded = worded or any(line.strip() for line in lines[notice:opening])
    return kinds


def _own_runs(kinds: list[Kind]) -> list[tuple[int, int]]:
    runs: list[tuple[int, int]] = []
    for at, kind in enumerate(kinds):
        if kind is not Kind.OWN:
            continue
        if runs and runs[-1][1] == at:
            runs[-1] = (runs[-1][0], at + 1)
        else:
            runs.append((at, at + 1))
    return runs


def _top_notice(lines: list[str], start: int, end: int) -> int:
    """Line after a warning that a mail server put on top, or `start`."""
    first = next((at for at in range(start, end) if lines[at].strip()), end)
    last = next((at for at in range(first, end) if not lines[at].strip()), end)
    paragraph = " ".join(lines[first:last])
    more = any(line.strip() for line in lines[last:end])
    return last if more and _is_notice(paragraph) else start


def _opening(lines: list[str], start: int, end: int, worded: bool, names: tuple[str, ...]) -> int:
    """First line of the signature that closes lines[start:end], or `end` when there is none."""
    first = next((at for at in range(start, end) if lines[at].strip()), end)
    for at in range(max(first if worded else first + 1, end - _REACH), end):
        before = lines[at - 1] if at > start else ""
        if lines[at].strip() and _opens(lines[at:end], before, names):
            return at
    return end


def _opens(tail: list[str], before: str, names: tuple[str, ...] = ()) -> bool:
    """True when the whole of `tail` reads as a signature; `before` is the line above it."""
    line, rest = tail[0], [t for t in tail[1:] if t.strip()]
    if line == SIGNATURE:
        return len(rest) <= 20
    if _DELIMITER.match(line):
        most = 25 if line.startswith("_") else 12  # a ruled line is seldom anything but a footer
        return len(rest) <= most and not any(t.rstrip().endswith("?") for t in rest)
    if _SENT_FROM.match(line):
        return len(rest) <= 3 and not any("?" in t for t in rest)
    if _is_notice(" ".join(tail[:6])) and not before.strip():
        return True
    if is_sign_off(line, names) or _DASH_NAME.match(line) or _is_writer(line, names):
        return _closes(rest, names)
    return not before.strip() and _is_contact_block(tail)


def _is_notice(paragraph: str) -> bool:
    return bool(_NOTICE.match(paragraph) and _NOTICE_WORDS.search(paragraph))


def is_sign_off(line: str, names: tuple[str, ...] = ()) -> bool:
    """True for "Thanks," or "Many thanks and kind regards, Jo": closing words and at most a name.

    `names` are the words of the sender's name, which may follow without a comma: "thx gus".

    >>> is_sign_off("Thanks in advance!"), is_sign_off("Thanks, it works now")
    (True, False)
    """
    head, _, name = line.strip().partition(",")
    words = [word.strip(".,!:;*–—-").lower() for word in head.split()]
    words = [word for word in words if word]
    closing = len(words) <= 8 and any(w in _CLOSING for w in words)
    return closing and all(w in _CLOSING or w in _AROUND or w in names for w in words) and _is_name(name)


def _is_name(text: str) -> bool:
    words = text.strip(" .,!-").split()
    return len(words) <= 5 and all(_NAME_WORD.match(word) for word in words)


def _closes(rest: list[str], names: tuple[str, ...] = ()) -> bool:
    """True when every line below a sign-off is a name, a title, an address or another signature mark."""
    for at, line in enumerate(rest):
        if _opens_hard(rest[at:]):
            return True
        named = _is_contact(line) or is_sign_off(line) or _is_writer(line, names)
        if not (named or (at == 0 and _is_nickname(line))):
            return False
    return len(rest) <= 10


def _opens_hard(tail: list[str]) -> bool:
    marked = _DELIMITER.match(tail[0]) or _SENT_FROM.match(tail[0]) or _is_notice(" ".join(tail[:6]))
    return bool(marked or _POSTSCRIPT.match(tail[0])) and _opens_or_postscript(tail)


def _opens_or_postscript(tail: list[str]) -> bool:
    return bool(_POSTSCRIPT.match(tail[0])) or _opens(tail, "")


def _names(text: str) -> tuple[str, ...]:
    """The words of a name, lower case, without accents: people sign "Lórcán" and write from "Lorcan"."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    return tuple(re.findall(r"[^\W\d_]+", "".join(c for c in plain if not unicodedata.combining(c))))


def _is_writer(line: str, names: tuple[str, ...]) -> bool:
    """True for a line that is the sender's name, part of it, or its initials: "R. Ibbotson", "PW"."""
    words = _names(line) if len(line) <= 60 and not line.rstrip().endswith("?") else ()
    if not words or any(c.isdigit() for c in line):
        return False
    initials = "".join(name[0] for name in names)
    whole = any(word in names for word in words) and all(w in names or w in initials for w in words)
    return whole or (len(names) > 1 and words == (initials,))


def _is_nickname(line: str) -> bool:
    return re.fullmatch(r"\W{0,3}[^\W\d]{2,20}\W{0,3}", line.strip()) is not None and "?" not in line


def _is_contact(line: str) -> bool:
    line = line.strip(" *|>")
    if len(line) > 90 or line.endswith("?"):
        return False
    return bool(_CONTACT.search(line) or _STREET.match(line)) or _is_name(line)


def _is_contact_block(tail: list[str]) -> bool:
    lines = [line for line in tail if line.strip()]
    short = 2 <= len(lines) <= 8 and all(_is_contact(line) and len(line) <= 60 for line in lines)
    return short and _is_name(lines[0]) and any(_CONTACT.search(line) for line in lines)


def _keep_postscript(lines: list[str], kinds: list[Kind], start: int, end: int) -> None:
    """A paragraph that starts with "PS" below the signature is the asker's own."""
    for at in range(start, end):
        if _POSTSCRIPT.match(lines[at]):
            for number in range(at, end):
                if not lines[number].strip() or _DELIMITER.match(lines[number]):
                    break
                kinds[number] = Kind.OWN
            return

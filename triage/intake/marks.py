"""How mail programs mark history: attribution lines, header blocks, separators, in the languages met most."""

from __future__ import annotations

import re

# Labels of the header block that some programs put above an unmarked copy of the earlier mail.
_LABELS = {
    "from": "from|von|de|fra|från|van|od|da|lähettäjä",
    "date": "sent|date|gesendet|datum|envoyé|enviado|fecha|sendt|dato|skickat|verzonden|wysłano|data|inviato",
    "to": "to|an|à|para|til|till|aan|do|a",
    "subject": "subject|betreff|objet|asunto|emne|ämne|onderwerp|temat|oggetto|assunto",
    "other": "cc|bcc|kopie|copie|reply-to|organi[sz]ation|attachments|importance",
}
_LABEL = re.compile(
    r"\s{0,3}(?:>[> ]*)?[*_]{0,2}(?:" + "|".join(f"(?P<{k}>{v})" for k, v in _LABELS.items()) + r")\s?:[*_]{0,2}",
    re.IGNORECASE,
)
_LONGEST_LABEL_LINE = 300

_STARTS = r"on|am|le|el|den|op|il|em|dnia|w dniu|(?:mon|tue|wed|thu|fri|sat|sun|man|tir|ons|tor|fre|lör|søn|sön)\w*"
_WROTE = re.compile(
    r"wrote|writes|schrieb|a écrit|escribió|skrev|schreef|ha scritto|escreveu|napisał|kirjoitti",
    re.IGNORECASE,
)
ATTRIBUTION_START = re.compile(rf"\s{{0,3}}(?:(?:{_STARTS})\b|\d{{1,4}}[./年 -])", re.IGNORECASE)
_OWN_WORDS = re.compile(r"\b(?:i|we) wrote\b", re.IGNORECASE)
_PRECISE = re.compile(r"@|\b\d{1,2}[:.h]\d{2}\b|\b(?:19|20)\d{2}\b")
_LONGEST_ATTRIBUTION = 4  # lines
_WIDEST_ATTRIBUTION = 400  # characters

FORWARD_MARK = re.compile(
    r"\s{0,3}(?:>[> ]*)?(?:-{2,}\s*(?:forwarded(?: message| mail)?|fwd|weitergeleitete nachricht"
    r"|message transféré|mensaje reenviado|videresendt meddelelse|vidarebefordrat meddelande"
    r"|doorgestuurd bericht|messaggio inoltrato)[^\n]{0,80}-{2,}|begin forwarded message\s?:)\s*(?:\n|$)",
    re.IGNORECASE,
)
ORIGINAL_MARK = re.compile(
    r"\s{0,3}[-_]{2,}\s*(?:original message|original appointment|reply message|ursprüngliche nachricht"
    r"|message d'origine|mensaje original|oprindelig meddelelse|ursprungligt meddelande"
    r"|oorspronkelijk bericht|messaggio originale|mensagem original)\s*[-_]{2,}\s*$",
    re.IGNORECASE,
)
SEPARATOR = re.compile(r"\s{0,3}[-_=*]{5,}\s*$")


def is_quoted(line: str) -> bool:
    """True for a line marked with ">" at its start."""
    return line.lstrip(" ")[:1] == ">" and len(line) - len(line.lstrip(" ")) <= 3


def attribution_length(lines: list[str], at: int) -> int:
    """Number of lines, 0 to 4, of an "On ... somebody wrote:" that starts at line `at`."""
    if not ATTRIBUTION_START.match(lines[at]):
        return 0
    joined = ""
    for length, line in enumerate(lines[at : at + _LONGEST_ATTRIBUTION], 1):
        if not line.strip() or len(joined) > _WIDEST_ATTRIBUTION:
            return 0
        joined = f"{joined} {line.strip()}"[: _WIDEST_ATTRIBUTION + 1]
        if _is_attribution(joined, lines, at + length):
            return length
    return 0


def _is_attribution(joined: str, lines: list[str], after: int) -> bool:
    if not joined.endswith((":", "wrote")) or not _PRECISE.search(joined) or _OWN_WORDS.search(joined):
        return False
    told = _WROTE.search(joined) is not None and any(c.isdigit() for c in joined)
    return told or ("@" in joined and is_quoted(next_line(lines, after)))


def next_line(lines: list[str], at: int) -> str:
    """The first line from `at` on that is not blank, or ""."""
    return next((line for line in lines[at:] if line.strip()), "")


def header_block_length(lines: list[str], at: int, *, least: int = 3) -> int:
    """Number of lines of a copied mail header that starts at line `at` with its sender; 0 if none does.

    A block has at least `least` different fields, the date or the subject among them.
    """
    label = _LABEL.match(lines[at])
    if not label or label.lastgroup != "from":
        return 0
    found, end = _fields(lines, at)
    return end - at if len(found) >= least and found & {"date", "subject"} else 0


def _fields(lines: list[str], at: int) -> tuple[set[str], int]:
    """Fields found from `at` on and the line after the last; a folded value may take two more lines."""
    found: set[str] = set()
    end = at
    for number in range(at, min(at + 14, len(lines))):
        line = lines[number]
        label = _LABEL.match(line) if len(line) <= _LONGEST_LABEL_LINE else None
        if label and label.lastgroup:
            found.add(label.lastgroup)
            end = number + 1
        elif not line.strip(" >") or number - end >= 2:
            break
    return found, end

"""A short written digest of an hour for the shop's site: questions and answers, names and particulars out."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from html import escape

from triage.segment.afterwards import Written, noted
from triage.segment.programme import Candidate, Programme, Said, Spoken

_MARKS = re.compile(r"([\\`*_\[\]<>#|])")


@dataclass(frozen=True, slots=True)
class Entry:
    """One question with what was said."""

    question: str
    answer: tuple[str, ...]
    safety: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Digest:
    """All of it, before it is written as Markdown or HTML."""

    title: str
    intro: str
    entries: tuple[Entry, ...]
    tip: str = ""


def digest_of(
    programme: Programme, notes: Sequence[Said], writing: Callable[[Candidate], Written], title: str, intro: str
) -> Digest:
    """What was answered on air; questions put off, or only asked back, are left out, and nobody is named."""
    entries = []
    for candidate, note in noted(programme, notes):
        if note.how in (Spoken.SAID, Spoken.CHANGED):
            entry = _entry(candidate, note, writing(candidate))
            if entry.answer:
                entries.append(entry)
    return Digest(title, intro, tuple(entries), programme.tip.text if programme.tip else "")


def _entry(candidate: Candidate, note: Said, text: Written) -> Entry:
    said = text.answer if note.how is Spoken.SAID else (note.note,)
    question = replace(candidate, agreed=False).question
    return Entry(
        text.plain(question),
        tuple(text.plain(line) for line in said if line.strip()),
        tuple(map(text.plain, text.safety)),
    )


def as_markdown(digest: Digest) -> str:
    """The digest as Markdown; no text of an asker can mark anything up."""
    lines = [f"# {_plain(digest.title)}", "", _plain(digest.intro), ""]
    for entry in digest.entries:
        lines += [f"## {_plain(entry.question)}", ""]
        lines += [text for line in entry.safety for text in (f"**{_plain(line)}**", "")]
        lines += [text for line in entry.answer for text in (_plain(line), "")]
    if digest.tip:
        lines += ["---", "", _plain(digest.tip), ""]
    return "\n".join(lines)


def as_html(digest: Digest) -> str:
    """The digest as one HTML page without script, style or outside address."""
    parts = [f"<h1>{escape(digest.title)}</h1>", f"<p>{escape(digest.intro)}</p>"]
    for entry in digest.entries:
        parts.append(f"<h2>{escape(entry.question)}</h2>")
        parts += [f"<p><strong>{escape(line)}</strong></p>" for line in entry.safety]
        parts += [f"<p>{escape(line)}</p>" for line in entry.answer]
    if digest.tip:
        parts += ["<hr>", f"<p>{escape(digest.tip)}</p>"]
    head = f'<meta charset="utf-8"><title>{escape(digest.title)}</title>'
    body = "\n".join(parts)
    return f'<!doctype html>\n<html lang="en">\n<head>{head}</head>\n<body>\n{body}\n</body>\n</html>\n'


def _plain(text: str) -> str:
    return _MARKS.sub(r"\\\1", " ".join(text.split()))

"""Any text as a question: read without an error, every fact pointing at words that stand there."""

from __future__ import annotations

from pathlib import Path

from triage.facts import FactReader
from triage.pack import load

from .targets import Target


def make() -> Target:
    reader = FactReader(load(Path(__file__).parents[2] / "knowledge"))

    def one(data: bytes) -> None:
        text = data.decode("utf-8", errors="replace")
        document = reader.language.annotate(text)
        facts = reader.read(document)
        for fact in facts:
            for span in filter(None, (fact.span, *fact.mentions)):
                assert 0 <= span.start < span.end <= len(text)
                assert text[span.start : span.end].strip() == text[span.start : span.end]

    return one

"""wording/: what the program says around the shop's own text."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Wording:
    """Phrases with alternatives, and whole templates by file name without `.j2`."""

    phrases: dict[str, list[str]] = field(default_factory=dict)
    templates: dict[str, str] = field(default_factory=dict)


def override(base: Wording, more: Wording) -> Wording:
    """`more` replaces `base` key by key."""
    return Wording(base.phrases | more.phrases, base.templates | more.templates)

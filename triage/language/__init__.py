"""Text as people type it: tokens, spelling, phrases, numbers and scopes. Knows language, not the trade."""

from triage.language.document import Document, Language, Mention

__all__ = ["Document", "Language", "Mention"]

"""The draft: the shop's own words, sentence by sentence, each tied to where it came from."""

from triage.reply.compose import Material, compose
from triage.reply.voice import Style

__all__ = ["Material", "Style", "compose"]

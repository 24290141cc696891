"""The draft: the shop's own words, sentence by sentence, each tied to where it came from."""

from triage.reply.compose import Material, compose

__all__ = ["Material", "compose"]

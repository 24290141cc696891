"""What a person changed in a draft before it went out, sentence by sentence."""

from __future__ import annotations

from collections import Counter
from difflib import unified_diff

from triage.reply.sentences import blocks, sentences


def changes(draft: str, sent: str, before: str, after: str) -> str:
    """A unified diff, one sentence a line, headed by the two names; "" when every sentence is the same.

    How lines were wrapped, and what marks a bullet, does not count: mail programs change both.

    >>> print(changes("Charge it. Ring us.", "Charge it first. Ring us.", "draft 1", "sent"))
    --- draft 1
    +++ sent
    @@ -1,2 +1,2 @@
    -Charge it.
    +Charge it first.
     Ring us.
    """
    return "\n".join(unified_diff(_cut(draft), _cut(sent), before, after, n=1, lineterm=""))


def shared(draft: str, sent: str) -> int:
    """How many sentences the two have in common."""
    return (Counter(_cut(draft)) & Counter(_cut(sent))).total()


def _cut(text: str) -> list[str]:
    return [" ".join(sentence.split()) for block in blocks(text) for sentence in sentences(block.text)]

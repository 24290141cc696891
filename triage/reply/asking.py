"""The questions of a reply: what would settle a conflict, then the gaps worth most."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from triage.model import Conflict, Gap, Sentence
from triage.reply.voice import Voice

MOST_ASKS = 3
LEAST_WORTH = 0.05  # what decides less is not worth the asker's time
LEAST_SHARE = 0.5  # of the worth of the best gap; what is worth less is not asked along with it

Ask = tuple[str, str, str]  # source, question, how to find out


def asks(conflicts: Sequence[Conflict], gaps: Sequence[Gap]) -> tuple[Ask, ...]:
    """What may be asked, most telling first."""
    settling = [(f"conflict:{conflict.id}", conflict.ask, "") for conflict in conflicts if conflict.ask]
    least = max(LEAST_WORTH, LEAST_SHARE * max((gap.worth for gap in gaps), default=0.0))
    open_gaps = [(f"gap:{gap.fact}", gap.ask, gap.find_out) for gap in gaps if gap.worth >= least]
    return tuple(settling + open_gaps)


def asking(wanted: Sequence[Ask], voice: Voice) -> Iterator[Sentence]:
    """The questions in the style: a list in a mail, without the how-to in a chat, only the first when read out."""
    if not wanted:
        return
    if voice.style == "aloud" or (voice.style == "chat" and len(wanted) == 1):
        source, question, _ = wanted[0]
        yield Sentence(voice.say("ask", question=question), source)
        return
    yield from voice.said("ask_intro", count=len(wanted))
    for source, question, find_out in wanted:
        how = f" ({find_out.rstrip('.')}.)" if find_out and voice.style == "mail" else ""
        yield from voice.line(question + how, source)

"""What may be done with a question next, and why."""

from __future__ import annotations

from collections.abc import Sequence

from triage.model import Conflict, Decision, Gap, HazardNote, Match

SURE = 0.6  # probability from which one answer may carry a reply
LIKELY = 0.25  # below this nothing is offered
WORTH_ASKING = 0.08  # expected gain from which a gap decides


def decide(
    matches: Sequence[Match],
    none: float,
    gaps: Sequence[Gap],
    hazards: Sequence[HazardNote],
    conflicts: Sequence[Conflict],
    off_topic: str = "",
) -> tuple[Decision, tuple[str, ...]]:
    """The decision with its reasons in plain words.

    Danger goes first; then what is not a question for the base; then whether an answer is sure, could be made
    sure, or is not there.
    """
    urgent = [note.hazard for note in hazards if note.urgent]
    if urgent:
        return Decision.HAND_OVER, (f"danger reported: {', '.join(urgent)}",)
    if off_topic:
        return Decision.HAND_OVER, (off_topic,)
    best = matches[0].probability if matches else 0.0
    if not matches or none > max(0.5, best):
        return Decision.NO_ANSWER, (f"nothing in the base fits (probability {none:.2f})",)
    deciding = [gap for gap in gaps if gap.worth >= WORTH_ASKING]
    if conflicts:
        return Decision.ASK, tuple(f"facts that cannot all be true: {conflict.says}" for conflict in conflicts)
    if best >= SURE and not deciding:
        return Decision.ANSWER, (f"one answer fits (probability {best:.2f})",)
    if deciding:
        return Decision.ASK, (f"{deciding[0].fact} would decide it",)
    if best >= LIKELY:
        return Decision.ASK, (f"the best answer is not sure (probability {best:.2f})",)
    return Decision.NO_ANSWER, (f"no answer is likely (best {best:.2f})",)

"""What may be done with a question next, and why."""

from __future__ import annotations

from collections.abc import Sequence

from triage.model import Conflict, Decision, Gap, HazardNote, Match
from triage.pack.schema import Aside

# of 0.5 to 0.8 the cheapest on the tuning questions when a wrong answer costs five needless questions
SURE = 0.7  # probability from which one answer may carry a reply
LEADS = 0.5  # probability from which an answer carries a reply when there is nothing to ask
LIKELY = 0.25  # below this nothing is offered
CLOSE = 0.15  # the second best is so near that the two cannot be told apart
WORTH_ASKING = 0.1  # expected gain from which a gap decides
# expected gain from which a gap decides in a story that contradicts itself: asking settles the contradiction anyway,
# and only what is above that tells which answer is right
WORTH_SETTLING = 0.15
DRIVE = "powertrain"  # a petrol answer never goes to an electric cart: asked for however sure the answer seems
MAY_FIT = 0.7  # probability of "none fits" below which a deciding fact is asked for first

Reasons = tuple[str, ...]


def decide(
    matches: Sequence[Match],
    none: float,
    gaps: Sequence[Gap],
    hazards: Sequence[HazardNote],
    conflicts: Sequence[Conflict],
    aside: Aside | None = None,
) -> tuple[Decision, Reasons]:
    """The decision with its reasons in plain words.

    Danger goes first; then what is not a question for the base (`aside`); then whether an answer is sure, could be
    made sure, or is not there.
    """
    urgent = [note.hazard for note in hazards if note.urgent]
    if urgent:
        return Decision.HAND_OVER, (f"danger reported: {', '.join(urgent)}",)
    best = matches[0].probability if matches else 0.0
    if aside is not None and best < SURE:
        return (Decision.HAND_OVER if aside.person else Decision.NO_ANSWER), (aside.reason,)
    deciding = _deciding(gaps, bool(conflicts))
    if not matches or none > max(0.5, best):
        return _of_none(none, deciding if matches else ())
    if conflicts and best < LEADS:
        return Decision.ASK, _told(conflicts)
    decision, reasons = _of_answers(matches, gaps, deciding)
    return decision, (*reasons, *_told(conflicts))


def _deciding(gaps: Sequence[Gap], contradicted: bool) -> tuple[Gap, ...]:
    return tuple(gap for gap in gaps if gap.worth >= (WORTH_SETTLING if contradicted else WORTH_ASKING))


def _told(conflicts: Sequence[Conflict]) -> Reasons:
    return tuple(f"facts that cannot all be true: {conflict.says}" for conflict in conflicts)


def _of_none(none: float, deciding: Sequence[Gap]) -> tuple[Decision, Reasons]:
    """Who does not tell what it is may have any trouble: which answer fits can be told once that is known."""
    doubt = f"nothing in the base fits (probability {none:.2f})"
    if deciding and none < MAY_FIT:
        return Decision.ASK, (f"{doubt} as long as {deciding[0].fact} is not known",)
    return Decision.NO_ANSWER, (doubt,)


def _of_answers(matches: Sequence[Match], gaps: Sequence[Gap], deciding: Sequence[Gap]) -> tuple[Decision, Reasons]:
    best, shown = matches[0], f"probability {matches[0].probability:.2f}"
    if deciding:
        return Decision.ASK, (f"{deciding[0].fact} would decide it",)
    if gaps and gaps[0].fact == DRIVE and DRIVE in best.untold:
        return Decision.ASK, (f"the answer is for one kind of drive, and {DRIVE} is not told",)
    if best.probability >= SURE and not best.near:
        return Decision.ANSWER, (f"one answer fits ({shown})", *_unlisted(best))
    if best.probability < LIKELY:
        return Decision.NO_ANSWER, (f"no answer is likely (best {best.probability:.2f})",)
    doubt = f"the best answer is for another vehicle: {best.against[0]}" if best.near else f"none is sure ({shown})"
    if gaps:
        return Decision.ASK, (f"{doubt}; {gaps[0].fact} may tell",)
    return _with_nothing_to_ask(matches, doubt)


def _unlisted(best: Match) -> Reasons:
    return (f"the vehicle is not listed; the answer is {best.against[0]}",) if best.unlisted else ()


def _with_nothing_to_ask(matches: Sequence[Match], doubt: str) -> tuple[Decision, Reasons]:
    """An answer that leads clearly is offered; else a person chooses."""
    best, second = matches[0], matches[1] if len(matches) > 1 else None
    if second is not None and second.probability >= LIKELY and best.probability - second.probability < CLOSE:
        return Decision.HAND_OVER, (f"nothing to ask tells {best.answer} from {second.answer}",)
    if best.probability >= LEADS and not best.near:
        return Decision.ANSWER, (f"{doubt}, but one leads and there is nothing to ask", *_unlisted(best))
    return Decision.HAND_OVER, (f"{doubt}, and there is nothing to ask",)

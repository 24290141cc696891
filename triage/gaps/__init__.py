"""What to ask next: the fact worth most, less the trouble of finding it out."""

from triage.gaps.belief import Candidate
from triage.gaps.kin import in_play
from triage.gaps.vehicles import Situation, situation
from triage.gaps.worth import Told, choose_gaps

__all__ = ["Candidate", "Situation", "Told", "choose_gaps", "in_play", "situation"]

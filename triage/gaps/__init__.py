"""What to ask next: the fact worth most, less the trouble of finding it out."""

from triage.gaps.worth import choose_gaps

__all__ = ["choose_gaps"]

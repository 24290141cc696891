"""Ways to get hurt: reported in words, told by meaning, following from facts, or part of the work proposed."""

from triage.safety.assess import HazardReader, Proposed

__all__ = ["HazardReader", "Proposed"]

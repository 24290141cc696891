"""Ways to get hurt: told in words or by meaning, following from facts, or part of the work proposed."""

from triage.safety.assess import Dangers, HazardReader, Proposed

__all__ = ["Dangers", "HazardReader", "Proposed"]

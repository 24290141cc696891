"""Ways to get hurt: told in words or by meaning, following from facts, or part of the work proposed."""

from triage.safety.assess import HazardReader, Proposed

__all__ = ["HazardReader", "Proposed"]

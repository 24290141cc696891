"""Facts with evidence: words, numbers, standing, and what the catalogue adds."""

from triage.facts.catalogue import Known, candidates, holding, years_of
from triage.facts.reader import FactReader

__all__ = ["FactReader", "Known", "candidates", "holding", "years_of"]

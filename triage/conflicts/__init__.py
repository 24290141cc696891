"""Facts that cannot all be true, in plain words; and what a list of readings shows."""

from triage.conflicts.find import find_conflicts
from triage.conflicts.findings import findings

__all__ = ["find_conflicts", "findings"]

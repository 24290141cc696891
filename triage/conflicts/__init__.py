"""Facts that cannot all be true, in plain words."""

from triage.conflicts.find import find_conflicts

__all__ = ["find_conflicts"]

"""The page for the live hour: clock, what is on and what comes, notes, live questions."""

from triage.bench.air.room import nav, routes

__all__ = ["nav", "routes"]

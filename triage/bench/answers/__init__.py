"""The answer base at the workbench: what is proposed for it, what a proposal would do, and what is asked in vain."""

from triage.bench.answers.room import nav, routes

__all__ = ["nav", "routes"]

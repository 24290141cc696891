"""Question triage for a low-speed-vehicle shop: read, match, ask, warn, draft."""

__version__ = "0.1.0"

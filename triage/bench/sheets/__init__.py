"""Worksheets: the sums behind a reply as forms, with formula, source, caution, and a plot where a curve tells more."""

from triage.bench.sheets.room import nav, routes

__all__ = ["nav", "routes"]

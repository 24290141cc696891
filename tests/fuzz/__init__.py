"""Hostile input, guided by coverage: python -m tests.fuzz NAME -max_total_time=900 (see docs/faults.md)."""

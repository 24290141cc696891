"""Teach the sentence encoder the trade: how the same symptom, danger or question is told in other words."""

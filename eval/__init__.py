"""Labelled questions, what the program makes of them, and how often it is right."""

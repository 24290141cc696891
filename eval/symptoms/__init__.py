"""Sentences that tell symptoms, labelled, and never taught."""

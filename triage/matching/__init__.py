"""The right answer or none: vectors, words, fact fit, symptoms, intent, ranked together."""

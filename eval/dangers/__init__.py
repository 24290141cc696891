"""Stories with a danger in them, and calm ones, by a writer who had not seen the pack's phrases."""

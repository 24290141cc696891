"""Growth: what was answered becomes proposals for the answer base, held against what the base already says.

Pure: no store, no disk, no clock. `triage.editor` is where it meets the queue and the pack's files.
"""

"""The worksheets, one file for each corner of the trade; `triage.physics.worksheet` gathers and runs them."""

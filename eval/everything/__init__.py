"""Everything that is measured of the program, in one run, as one report with pictures."""

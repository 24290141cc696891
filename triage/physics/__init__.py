"""Physics of the trade: pure functions of plain floats, each with its formula, units, range and source.

Units stand in the names and docstrings: volts, amps, hours, degrees C, mph, inches for tyres, millimetres
for threads, metres for cables. Only `worksheet` knows a unit library; every other module is arithmetic.
"""

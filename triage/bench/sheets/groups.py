"""The worksheets by what they are about, for the list."""

from __future__ import annotations

from triage.physics.sheets import battery, charge, control, drive, packs, wheel, wire
from triage.physics.sheets.record import Worksheet

GROUPS: tuple[tuple[str, tuple[Worksheet, ...]], ...] = (
    ("Batteries at rest", battery.SHEETS),
    ("Packs", packs.SHEETS),
    ("Charging", charge.SHEETS),
    ("Driving and tyres", drive.SHEETS),
    ("Cables, fuses and joints", wire.SHEETS),
    ("Controls", control.SHEETS),
    ("Wheels and rules", wheel.SHEETS),
)

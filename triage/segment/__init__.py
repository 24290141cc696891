"""The weekly question hour: choose the questions, time them, put them on a sheet, follow up. No disk, no clock."""

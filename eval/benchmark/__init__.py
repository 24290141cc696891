"""The program beside the plain ways on the same questions: quality, time, memory, and how both grow."""

"""The store, seen through real SQLite files."""

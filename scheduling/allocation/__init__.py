"""Allocation from the tables: needs and units as the matching takes them, and the kept proposal read."""

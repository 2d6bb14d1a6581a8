"""The sheets of procedures."""

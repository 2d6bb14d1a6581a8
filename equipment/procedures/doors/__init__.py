"""The doors of procedures."""

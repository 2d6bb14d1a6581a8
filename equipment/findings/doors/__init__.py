"""The doors of findings."""

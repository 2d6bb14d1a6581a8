"""The doors of units."""

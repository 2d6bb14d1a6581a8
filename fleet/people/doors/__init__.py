"""The doors of people."""

"""What must be done and what was: limits, works done, extensions, dispositions."""

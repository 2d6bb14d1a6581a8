"""Hours, cycles and counts: of units, of subjects, and when something is due by them."""

"""How dates, hours and counts are said, the same on every screen, print and export."""

"""What pages have in common: their fields, the form of an act, an act tried."""

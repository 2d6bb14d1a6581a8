"""A walk-round: what is seen at a position held against what the records say is there."""

"""Walk-rounds: what was seen at a position held against what the records say is there."""

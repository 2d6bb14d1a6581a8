"""The pages of the stores: the day, receiving, one unit, shops."""

"""The sheets of part numbers, units and their papers."""

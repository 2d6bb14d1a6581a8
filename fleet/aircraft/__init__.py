"""Aircraft, their types, positions, status and planned checks."""

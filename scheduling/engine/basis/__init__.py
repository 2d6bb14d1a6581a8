"""What every clock stands on: limits, columns, months, starts, bands."""

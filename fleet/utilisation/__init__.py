"""How much aircraft fly: readings of their totals, and use by the month."""

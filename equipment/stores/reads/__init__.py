"""What the counter reads: stock, the day, the shop loop, what is owed."""

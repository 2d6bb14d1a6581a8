"""What is found to be otherwise, and what is left open: walk-rounds, discrepancies, open items."""

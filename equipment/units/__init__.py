"""Units: entered, identified, their papers and history, their labels."""

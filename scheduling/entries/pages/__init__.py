"""Pages of the entries that are more than one form: what comes next, hours in a grid, checks, limits."""

"""Where the table of a sheet is, and what its columns are."""

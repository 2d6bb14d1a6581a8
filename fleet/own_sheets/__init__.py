"""An operator's own spreadsheet understood: where its tables are, what columns and words mean, what is doubtful. Pure."""

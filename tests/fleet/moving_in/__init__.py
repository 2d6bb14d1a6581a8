"""Pages of an own spreadsheet."""

"""Own spreadsheets of many shapes: what is found in them, and what is made of it."""

"""Where each person's day begins, and the one field that finds an aircraft, a unit or a person."""

"""Moving in: an operator's own spreadsheet brought, understood with a person, compared, and taken."""

"""What single words mean: marks, headings, kinds of equipment, places, registrations, days."""

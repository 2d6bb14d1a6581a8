"""How what a technician records is judged: plain rules over plain data. No Django, no tables, no clock."""

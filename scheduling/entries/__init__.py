"""What a controller enters by hand, on pages: the fleet, the parts, the programme, hours and checks; and what each would change."""

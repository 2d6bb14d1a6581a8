"""Tables to needs, supplies, ways and rates as the matching takes them."""

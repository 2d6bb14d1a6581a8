"""Part numbers, units, where they are and were, stores, swaps, tools and what is found: room by room."""

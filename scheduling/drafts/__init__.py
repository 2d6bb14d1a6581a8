"""Several changes kept together, none of them done: what they would move, then taken or thrown away."""

"""Tables to the columns that are placed, and the plan that comes of them."""

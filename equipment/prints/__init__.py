"""What is printed: one page of a swap."""

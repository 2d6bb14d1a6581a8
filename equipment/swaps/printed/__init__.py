"""What of a swap is printed: a record that is enough by itself."""

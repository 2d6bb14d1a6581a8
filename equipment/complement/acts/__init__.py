"""What is said of cabins. Only these modules write it."""

"""What the stores do with units. Only these modules write it."""

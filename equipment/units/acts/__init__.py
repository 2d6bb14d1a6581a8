"""Units entered and what is said of them. Only these modules write it."""

"""A request, and what becomes of it. Only these modules write it."""

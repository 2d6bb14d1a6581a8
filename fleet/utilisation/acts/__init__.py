"""Readings recorded. Only these modules write them."""

"""Procedures entered. Only these modules write them."""

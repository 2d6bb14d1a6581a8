"""Findings as pages list them."""

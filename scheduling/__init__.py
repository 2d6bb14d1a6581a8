"""Programmes, limits, what falls due, and which unit covers it."""

"""Needs, supplies and ways as plain facts and as columns."""

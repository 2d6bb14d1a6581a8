"""Telling people: notices of the night, a digest each morning, and both by mail for whoever chose so."""

"""From the tables to the engine's columns and back, a fixed number of queries for any number of units."""

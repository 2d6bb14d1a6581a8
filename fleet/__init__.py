"""Stations, aircraft types, aircraft, their use and their checks; people; the house itself."""

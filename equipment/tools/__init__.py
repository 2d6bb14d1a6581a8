"""Wrenches, meters and gauges: entered, calibrated, reported, and the values they touched."""

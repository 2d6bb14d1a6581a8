"""The due engine: what falls due, when, and why. Pure; in columns; one unit is a batch of one."""

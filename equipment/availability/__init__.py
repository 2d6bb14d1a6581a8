"""Whether a unit may be had: set aside, tagged, held, filled."""

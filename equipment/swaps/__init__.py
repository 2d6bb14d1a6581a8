"""A swap from its beginning to its release: taking a unit off one position and putting one on."""

"""Why and why not, in words; what would cure a shortage."""

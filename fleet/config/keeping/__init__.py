"""The house's records into one file, and out of it again."""

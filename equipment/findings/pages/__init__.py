"""The pages of findings."""

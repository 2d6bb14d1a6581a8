"""The pages of people."""

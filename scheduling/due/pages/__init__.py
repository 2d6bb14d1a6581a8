"""The pages of the due list."""

"""The pages of the packages."""

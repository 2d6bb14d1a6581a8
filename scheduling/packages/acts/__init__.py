"""The acts of the packages."""

"""The doors of the packages."""

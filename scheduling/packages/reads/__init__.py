"""The reads of the packages."""

"""The doors of the allocation."""

"""The pages of the allocation."""

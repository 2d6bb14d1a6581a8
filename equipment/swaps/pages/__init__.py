"""The pages of swaps."""

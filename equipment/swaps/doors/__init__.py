"""The doors of swaps."""

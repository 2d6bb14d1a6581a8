"""Which unit for which need, how many are enough, what is short."""

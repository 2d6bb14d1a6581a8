"""Acts of the allocation: a proposal made and kept, and what people decide about it."""

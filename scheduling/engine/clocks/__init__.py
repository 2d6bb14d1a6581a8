"""The arithmetic of each sort of clock, and which of them decides."""

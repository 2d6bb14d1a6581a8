"""The complement that an aircraft must carry, by its seats, its occupants and where it flies."""

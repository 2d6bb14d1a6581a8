"""People: who signs in, what they may sign, their tokens and notices."""

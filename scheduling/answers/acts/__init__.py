"""What is written to find an answer, and taken back at once."""

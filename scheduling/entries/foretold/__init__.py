"""What an act would change, said before it is done: done, reckoned and taken back."""

"""The one writer of movements, of what follows from them, and of what is said of units."""

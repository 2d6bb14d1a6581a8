"""Acts of entering that write more than one fact at a time."""

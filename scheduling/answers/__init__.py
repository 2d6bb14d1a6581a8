"""What scheduling answers the apps below, and does when they say that facts changed."""

"""What the screens speak and draw with."""

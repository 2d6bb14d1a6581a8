"""What is to be bought: asked for, ordered, expected, received."""

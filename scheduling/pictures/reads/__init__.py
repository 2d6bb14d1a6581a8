"""What pictures are drawn from, each a fixed number of questions."""

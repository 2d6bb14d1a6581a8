"""What looks wrong in own sheets before anything is taken: one rule each."""

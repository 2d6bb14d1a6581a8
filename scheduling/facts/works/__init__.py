"""What was done under each rule: the last work, when it was due, what was granted since."""

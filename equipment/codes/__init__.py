"""What a scanned code says about a part: text in, facts out, nothing guessed."""

"""What may not be used: one rule, and the facts that it judges by."""

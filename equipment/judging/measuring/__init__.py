"""What was measured, each sort by its own rule; and quantities as people write them. Pure."""

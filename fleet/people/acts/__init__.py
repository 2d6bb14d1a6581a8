"""What is done about people. Only these modules write it."""

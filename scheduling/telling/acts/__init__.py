"""What is written of telling people."""

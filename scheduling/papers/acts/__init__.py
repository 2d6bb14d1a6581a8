"""What is written of long paper."""

"""What people do with a draft."""

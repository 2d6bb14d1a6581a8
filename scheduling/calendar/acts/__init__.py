"""What people do about their calendar addresses."""

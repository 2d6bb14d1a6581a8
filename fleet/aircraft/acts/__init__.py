"""What people do about aircraft. Only these modules write it."""

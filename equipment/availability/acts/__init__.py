"""What people do about a unit's availability. Only these modules write it."""

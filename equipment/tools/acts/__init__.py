"""What people do with tools. Only these modules write it."""

"""What people do about findings. Only these modules write them."""

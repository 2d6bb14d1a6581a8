"""What people do when a unit leaves the shelf."""

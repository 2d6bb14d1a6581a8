"""What people do with views of the due list."""

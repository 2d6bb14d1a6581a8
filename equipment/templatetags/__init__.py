"""What the equipment offers to pages."""

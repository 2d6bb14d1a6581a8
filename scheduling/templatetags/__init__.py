"""What scheduling offers to pages."""

"""What every door of the API has in common."""

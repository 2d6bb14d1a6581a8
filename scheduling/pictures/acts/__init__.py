"""What the night keeps so that pictures have a past."""

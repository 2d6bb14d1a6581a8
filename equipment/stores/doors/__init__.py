"""The doors of the stores."""

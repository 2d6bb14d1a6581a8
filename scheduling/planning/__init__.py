"""The plan: at which check each work is done, what needs somebody, and what the controller decides of it."""

"""Who may sign, and what stands in the way of a release. Pure."""

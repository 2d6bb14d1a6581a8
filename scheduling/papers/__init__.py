"""Lists on paper that are too long to wait for: asked for, made by the job with its progress, fetched."""

"""Pictures of what comes and what was: the months ahead, life thrown away, overdue, reliability; each with its numbers."""

"""What pages and doors read of the plan."""

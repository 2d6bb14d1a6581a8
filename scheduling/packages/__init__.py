"""The package of a check: what technician, clerk and auditor carry to it, out of the plan and what is set aside."""

"""A step's rule as the operator enters it, and what was typed judged by it. Pure."""

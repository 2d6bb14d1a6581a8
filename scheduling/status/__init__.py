"""How units stand by their limits: life-limited, by overhaul and test, by directive; limit, used, left, document."""

"""Keeping the house up: its processes, its health, its messages, and what may not be served."""

"""Figures of the fleet's own parts, for ``manage.py bench``."""

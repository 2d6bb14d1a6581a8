"""The composition root: the only place that names every app, by dotted string."""

from .celery import app as celery_app

__all__ = ["celery_app"]

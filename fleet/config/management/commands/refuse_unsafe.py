"""Refuses what may not be served to others; says nothing where all is well."""

from __future__ import annotations

from typing import Any

from django.core.management import BaseCommand

from fleet.config.serving.production import refuse


class Command(BaseCommand):
    help = "Refuses an installation that is meant for production and is not fit for it."

    def handle(self, *args: Any, **options: Any) -> None:
        refuse()

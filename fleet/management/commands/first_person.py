"""``manage.py first_person [--if-empty]``: a one-time address by which the first person of an empty house comes in."""

from __future__ import annotations

import os
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.urls import reverse
from django.utils import timezone

from fleet.house.refusals import Refused
from fleet.people.links import FIRST_GOOD_FOR, first_link, refuse_founded


def address_of(path: str) -> str:
    """The path with the address under which the house is reached, as far as the settings tell it."""
    origins: list[str] = settings.CSRF_TRUSTED_ORIGINS
    here = f"http://127.0.0.1:{os.environ.get('PORT') or '8000'}"
    if not origins and settings.HTTPS:
        here = f"https://{next(iter(settings.ALLOWED_HOSTS), 'the name of your proxy')}"
    return f"{origins[0].rstrip('/') if origins else here}{path}"


class Command(BaseCommand):
    help = "Prints a one-time address for the first person of an empty house, who becomes administrator."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--if-empty", action="store_true", help="say nothing of it where somebody is here"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            refuse_founded()
        except Refused as refused:
            if options["if_empty"]:
                return
            raise CommandError(refused.message) from refused
        link = first_link(timezone.now())
        hours = int(FIRST_GOOD_FOR.total_seconds()) // 3600
        self.stdout.write(
            f"Nobody is in this house yet. The first person, who manages it, comes in once, within {hours} hours,"
            f" by this address:\n  {address_of(reverse('first-person', args=[link]))}"
        )

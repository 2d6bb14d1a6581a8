"""``manage.py createsuperuser``: says what to use instead. Django's own makes a person whom no page lets in."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from fleet.models import User


class Command(BaseCommand):
    help = "Says how the first person, and further ones, come into the house."

    def add_arguments(self, parser: CommandParser) -> None:
        for name in ("--username", "--email", "--database"):
            parser.add_argument(name)
        for name in ("--noinput", "--no-input"):
            parser.add_argument(name, action="store_true")

    def handle(self, *args: Any, **options: Any) -> None:
        if User.objects.exists():
            raise CommandError(
                "People are invited on the page People, by an administrator, who gives them their roles. If no"
                " administrator can sign in: manage.py person_link USERNAME prints an address for a new password."
            )
        raise CommandError(
            "Nobody is in this house yet: manage.py first_person prints a one-time address, by which the first"
            " person comes in as administrator."
        )

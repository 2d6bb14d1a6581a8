"""``manage.py person_link USERNAME``: a one-time address at which a person chooses a new password."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.urls import reverse
from django.utils import timezone

from fleet.house.refusals import Refused
from fleet.people.acts.links import make_link_at_server
from fleet.people.links import good_until, link_of
from fleet.words.said import moment_words

from .first_person import address_of


class Command(BaseCommand):
    help = "Prints a one-time address for a person's new password: for an administrator's that is forgotten."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("username")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            person = make_link_at_server(username=options["username"], at=timezone.now())
        except Refused as refused:
            raise CommandError(refused.message) from refused
        path = reverse("join", args=[link_of(person)])
        self.stdout.write(
            f"Good once, until {moment_words(good_until(person))}:\n  {address_of(path)}"
        )

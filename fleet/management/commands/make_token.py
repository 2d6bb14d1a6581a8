"""``manage.py make_token USERNAME ROLE --label TEXT --by ADMINISTRATOR [--expires-on DATE | --never-expires] [--only ACT]``"""

from __future__ import annotations

from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from fleet.house.desks import ROLES
from fleet.house.refusals import Refused
from fleet.models import User
from fleet.people.acts.tokens import end_of_token, make_token


def _day(text: str) -> date:
    return date.fromisoformat(text)


class Command(BaseCommand):
    help = "Makes a token for the API and prints it, once: only its digest is kept."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("username", help="Who answers for what the token does.")
        parser.add_argument("role", choices=[role for role, _ in ROLES])
        parser.add_argument("--label", required=True, help="What the token is for.")
        parser.add_argument("--by", required=True, help="The administrator who makes it.")
        parser.add_argument(
            "--expires-on",
            type=_day,
            metavar="YYYY-MM-DD",
            help="The first day it no longer works; without one it works for half a year.",
        )
        parser.add_argument(
            "--never-expires", action="store_true", help="It works until it is withdrawn."
        )
        parser.add_argument(
            "--only",
            action="append",
            default=[],
            metavar="ACT",
            help="An act that it may do (again for another); without any, all that the role may.",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        day, now = options["expires_on"], timezone.now()
        if day and options["never_expires"]:
            raise CommandError("Give a day, or say that it has none: not both.")
        try:
            made = make_token(
                by=self._person(options["by"]),
                user=self._person(options["username"]),
                label=options["label"],
                role=options["role"],
                at=now,
                expires_at=end_of_token(day, never=options["never_expires"], at=now),
                acts=options["only"],
            )
        except Refused as refused:
            raise CommandError(" ".join(each.message for each in refused.refusals)) from refused
        self.stdout.write(made.secret)

    def _person(self, username: str) -> User:
        person = User.objects.filter(username=username).first()
        if person is None:
            raise CommandError(f"Nobody signs in as “{username}”. Check the spelling.")
        return person

"""``manage.py load_demo [--today DATE] [--if-empty]``: the invented operator, by the loader's own door."""

from __future__ import annotations

import csv
import tempfile
from collections.abc import Callable, Iterator
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from demo_fixtures import people as invented
from demo_fixtures.copies import FOLDER, LOADS, moved_copies, reference_day
from fleet.doors.options import day_of
from fleet.house.desks import ADMINISTRATOR
from fleet.house.pages import today, zone
from fleet.house.refusals import Refused
from fleet.loading.acts.loads import bring_load
from fleet.loading.work import work_on
from fleet.models import Aircraft, Load, User
from fleet.people.acts.people import NewPerson, found_house, make_people
from scheduling.allocation.acts.make import make_proposal
from scheduling.reckoning.bulk import recompute_all

OPERATOR = "Varrowmoor Airways"
LOADER = "controller"
#: The line's data name people and authorise them: the administrator brings them, the rest the controller.
LOADERS = {"line": "admin"}


class Command(BaseCommand):
    help = "Loads the demonstration: an invented operator, with its dates moved to today."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--today", type=day_of, metavar="DATE", help="as 2027-03-03")
        parser.add_argument(
            "--if-empty", action="store_true", help="say nothing of it where other data are"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if not _is_house_of_demo():
            if not options["if_empty"]:
                raise CommandError(
                    "There are people or aircraft here already that are not the demonstration's. It "
                    "is loaded into an empty house only; nothing was changed."
                )
            return
        day = _day_loaded_for() or options["today"] or today()
        self.now = _clock_of(day)
        try:
            self._load(day)
        except Refused as refused:
            raise CommandError(refused.message) from refused
        self._say_people()

    def _load(self, day: date) -> None:
        _make_first_people(self.now())
        loaders = {LOADER, *LOADERS.values()}
        done = Load.objects.filter(state=Load.APPLIED, brought_by__username__in=loaders).count()
        missing = LOADS[min(done, len(LOADS)) :]
        for load in missing:
            if load in LOADERS:
                _make_other_people(self.now())
            self._bring(load, day)
        if missing:
            # What the loads asked for, by the real time, is done by this run too.
            now = max(self.now(), timezone.now())
            recompute_all(as_of=day, now=now, why="the demonstration was loaded")
            make_proposal(as_of=day, at=now)
        else:
            self.stdout.write("The demonstration is loaded already: nothing was changed.")

    def _bring(self, load: str, day: date) -> None:
        """This will load the moved copies of one folder, all or nothing."""
        by = User.objects.get(username=LOADERS.get(load, LOADER))
        with tempfile.TemporaryDirectory() as folder:
            copies = moved_copies(load, day, Path(folder))
            files = [(path.name, iter([path.read_bytes()])) for path in copies]
            brought = bring_load(by=by, files=files, at=self.now(), mode=Load.ALL_OR_NOTHING)
        result = work_on(load_id=brought.pk, now=self.now, today=day)
        brought.refresh_from_db()
        if result is None or not result.is_applied:
            first = brought.lines.filter(outcome="refused").order_by("pk").first()
            why = f"{first.sheet} {first.cell}: {first.message}" if first else brought.fault
            raise CommandError(f"The demonstration's sheets were not taken. {why}")
        self.stdout.write(f"Sheets “{load}”: {result.accepted} lines taken.")

    def _say_people(self) -> None:
        self.stdout.write(f"Sign in with password {invented.PASSWORD} as:")
        for person in _people():
            self.stdout.write(f"  {person.username:<13}{person.first_name} {person.last_name}")


def _clock_of(day: date) -> Callable[[], datetime]:
    """The real time; on another day than the real one, as if it were noon there when this began."""
    if day == today():
        return timezone.now
    ahead = datetime.combine(day, time(12), zone()) - timezone.now()
    return lambda: timezone.now() + ahead


def _people() -> Iterator[NewPerson]:
    for row in invented.rows():
        yield NewPerson(
            username=row["username"],
            first_name=row["first name"],
            last_name=row["last name"],
            password=invented.PASSWORD,
            roles=(row["roles"],),
            home_station=row["home station"],
        )


def _is_house_of_demo() -> bool:
    """Whether nobody and nothing but the demonstration is here."""
    strangers = User.objects.exclude(username__in=[person.username for person in _people()])
    registrations = [row["Registration"] for row in _aircraft()]
    return (
        not strangers.exists()
        and not Aircraft.objects.exclude(registration__in=registrations).exists()
    )


def _aircraft() -> list[dict[str, str]]:
    with (FOLDER / "sheets" / LOADS[0] / "Aircraft.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _day_loaded_for() -> date | None:
    """The day for which the sheets were moved, told by an aircraft's own date; None if not loaded."""
    told = _aircraft()[0]
    made = (
        Aircraft.objects.filter(registration=told["Registration"])
        .values_list("manufactured_on", flat=True)
        .first()
    )
    written = date.fromisoformat(told["Manufactured on"])
    return None if made is None else reference_day() + timedelta(days=(made - written).days)


def _make_first_people(at: datetime) -> None:
    """The administrator, and the controller who brings the sheets; stations are not there yet."""
    people = {person.username: person for person in _people()}
    founder = next(person for person in people.values() if ADMINISTRATOR in person.roles)
    if not User.objects.exists():
        found_house(administrator=_homeless(founder), at=at, operator=OPERATOR)
    if not User.objects.filter(username=LOADER).exists():
        make_people(
            by=User.objects.get(username=founder.username),
            people=[_homeless(people[LOADER])],
            at=at,
        )


def _homeless(person: NewPerson) -> NewPerson:
    return NewPerson(
        person.username, person.first_name, person.last_name, person.password, person.roles
    )


def _make_other_people(at: datetime) -> None:
    there = set(User.objects.values_list("username", flat=True))
    others = [person for person in _people() if person.username not in there]
    if others:
        founder = User.objects.get(roles__contains=[ADMINISTRATOR])
        make_people(by=founder, people=others, at=at)

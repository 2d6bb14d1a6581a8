"""The package of a check is handed to the hangar, to somebody by name."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.urls import reverse

from equipment.models import Place, Unit
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import coded, number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import LINE, ask
from fleet.house.pages import zone
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_long
from fleet.models import Check, User
from fleet.people.acts.notices import tell
from scheduling.facts.items import AIRCRAFT, POSITION, UNIT, subject_of
from scheduling.models import DueItem, Limit, PackageHandover, PackageItem

from ..reads.package import Line, Package, package_of
from .held import lock_check, refuse_closed

SUBJECTS = {UNIT: "unit", POSITION: "position", AIRCRAFT: "aircraft"}


def hangar_people() -> list[tuple[str, str]]:
    """Who may be handed a package: whoever works on the line or in the hangar."""
    people = User.objects.filter(is_active=True).order_by("last_name", "first_name", "username")
    return [
        (each.username, f"{each.shown_name} ({each.username})")
        for each in people
        if LINE & set(each.roles)
    ]


@dataclass(frozen=True, slots=True)
class NewHandover:
    """To whom the package of a check is handed, by name."""

    check_id: int = number("The check", least=1, name="check")
    to_id: int = coded(
        "Handed to",
        User,
        "username",
        "person",
        name="person",
        most=150,
        help="Username of somebody of the hangar.",
    )
    note: str = text("What they must know", 200, default="")


@transaction.atomic
def hand_over_package(
    *, by: User, handover: NewHandover, act_id: UUID, at: datetime
) -> PackageHandover:
    """This will hand the package of a check to somebody of the hangar, as the plan is now.

    Handed over again it adds what the plan placed there since. Refuses a check that is not to come,
    cancelled or closed, a person who does not work there, and a package without anything in it.
    """
    ask(by, "hand_over_package")
    rows = PackageHandover.objects.filter(act_id=act_id)
    said = {"handover": handover}
    if done := done_before(act_id, "hand_over_package", said, rows, by=by, at=at):
        return done
    note = refuse_long(handover.note.strip(), "note", 200)
    check, day = lock_check(handover.check_id), at.astimezone(zone()).date()
    refuse_closed(check)
    _refuse_gone(check, day)
    to = _of_the_hangar(handover.to_id)
    fresh = _fresh(check, package_of(check, day))
    made = PackageHandover.objects.create(
        act_id=act_id,
        check_planned=check,
        to=to,
        note=note,
        handed_on=day,
        handed_at=at,
        handed_by=by,
    )
    _add(made, check, fresh)
    words = f"{by.shown_name} handed you the package of {check.name}, {check.aircraft}. {note}"
    tell(to=to, words=words, link=reverse("scheduling:check_package", args=[check.pk]), at=at)
    return made


def _refuse_gone(check: Check, day: date) -> None:
    if check.is_cancelled or check.ends_on < day:
        words = f"{check.name} is {'cancelled' if check.is_cancelled else 'over'}."
        raise Refused("check_not_to_come", words, "check")


def _of_the_hangar(key: int) -> User:
    to = User.objects.filter(pk=key, is_active=True).first()
    if to is None or not LINE & set(to.roles):
        words = "Name somebody who works on the line or in the hangar and has an account."
        raise Refused("not_of_the_hangar", words, "person")
    return to


def _fresh(check: Check, package: Package) -> list[tuple[Line, str, str]]:
    """The jobs that were not handed over yet, each with its zone and access."""
    there = set(PackageItem.objects.filter(check_planned=check).values_list("due_item", flat=True))
    found = [
        (line, part.zone, part.access)
        for part in package.parts
        for line in part.lines
        if line.job.item_id not in there
    ]
    if not found and not there:
        words = f"Nothing is placed at {check.name}: there is nothing to hand over."
        raise Refused("package_empty", words, "check")
    return found


def _add(made: PackageHandover, check: Check, fresh: list[tuple[Line, str, str]]) -> None:
    keys = [work.item_id for line, _, _ in fresh for work in line.works]
    due = DueItem.objects.select_related("work").in_bulk(keys)
    limits = Limit.objects.prefetch_related("resets__work").in_bulk(
        {each.limit_id for each in due.values()}
    )
    stays = _places([due[line.job.item_id] for line, _, _ in fresh if line.job.item_id in due])
    first = PackageItem.objects.filter(check_planned=check).count() + 1
    PackageItem.objects.bulk_create(
        PackageItem(
            handover=made,
            check_planned=check,
            number=number,
            due_item=line.job.item_id,
            zone=zone,
            access=access,
            words=words_of(line)[:300],
            place_id=line.place_id or stays.get(line.job.item_id),
            unit_off_id=_unit_off(line),
            works=[
                _work(due[work.item_id], limits) | {"unit": work.unit}
                for work in line.works
                if work.item_id in due
            ],
            last_on=line.job.last_on,
        )
        for number, (line, zone, access) in enumerate(fresh, first)
    )


def _unit_off(line: Line) -> int | None:
    row = line.job.row
    return (row.line_unit_id or row.unit_id) if line.place_id else None


def words_of(line: Line) -> str:
    """``D1L-SLIDE, HS-4120 S/N S0817: Overhaul``."""
    row = line.job.row
    unit = f"{row.part_number} S/N {row.serial_number}" if row.unit_id else ""
    where = ", ".join(word for word in (row.position, row.inside, unit) if word)
    works = ", ".join(dict.fromkeys(work.work for work in line.works))
    return f"{where or 'The aircraft'}: {works}"


def _work(item: DueItem, limits: dict[int, Limit]) -> dict[str, Any]:
    limit = limits[item.limit_id]
    document = " revision ".join(x for x in (limit.document, limit.document_revision) if x)
    subject, _, sort = subject_of(item.pk)
    return {
        "code": item.work.code,
        "work": item.work.name,
        "limit": limit.code,
        "document": document,
        "subject": [SUBJECTS[sort], subject],
        "restarts": [item.work.code, *sorted(each.work.code for each in limit.resets.all())],
        "due_on": item.due_on.isoformat() if item.due_on else None,
    }


def _places(items: list[DueItem]) -> dict[int, int]:
    """Where a work in place begins: at the unit's place, or the position's own. Two questions."""
    units = dict(
        Unit.objects.filter(
            pk__in=[each.unit_id for each in items if each.unit_id], place__isnull=False
        ).values_list("pk", "place")
    )
    wanted = [each.position_id for each in items if each.position_id and not each.unit_id]
    positions = dict(
        Place.objects.filter(sort=Place.AIRCRAFT, aircraft_position__in=wanted).values_list(
            "aircraft_position", "pk"
        )
    )
    found = {
        each.pk: units.get(each.unit_id) if each.unit_id else positions.get(each.position_id or 0)
        for each in items
    }
    return {key: place for key, place in found.items() if place is not None}


@dataclass(frozen=True, slots=True, kw_only=True)
class PackageHandoverShown:
    id: int
    check: int = shown("check_planned_id")
    to: str = shown("to.username")
    note: str
    handed_on: date
    handed_at: datetime


# --- declared ---------------------------------------------------------------------------------

HAND_OVER_PACKAGE = Act(
    name="hand_over_package",
    does=hand_over_package,
    said=NewHandover,
    as_="handover",
    tag="Plan",
    summary="Hand a package over",
    description="Hands the package of a check to somebody of the hangar by name, as the plan is now; again, it "
    "adds what was placed there since.",
    address="plan/checks/<int:check_id>/handovers",
    in_address=("check_id",),
    example={"act_id": EXAMPLE_ID, "person": "technician", "note": "The slot ends on Friday."},
    shows=PackageHandoverShown,
    answer={
        "id": 4,
        "check": 31,
        "to": "technician",
        "note": "The slot ends on Friday.",
        "handed_on": "2027-03-01",
        "handed_at": "2027-03-01T10:00:00Z",
    },
)

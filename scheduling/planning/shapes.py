"""What the plan's doors take and show."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from fleet.doors.door import Paged
from fleet.doors.fields import StrictInteger
from fleet.doors.requests import query_of

from .reads.filters import PlanAsked
from .reads.words import STATES

PlanQuery = query_of(PlanAsked, "PlanQuery")


class JobsAsked(Paged):
    """One aircraft's jobs or one check's; without either those that need somebody."""

    aircraft = serializers.CharField(
        required=False, max_length=10, help_text="A registration: all its jobs."
    )
    check = StrictInteger(required=False, least=1, help_text="What is done at this check.")


class GroundTimeShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    name = serializers.CharField()
    is_overnight = serializers.BooleanField()
    starts_on = serializers.DateField()
    ends_on = serializers.DateField()
    station = serializers.CharField()


class PlannedCheckShown(GroundTimeShown):
    registration = serializers.CharField()
    jobs = serializers.IntegerField(help_text="How many are done at it.")


class SavedShown(serializers.Serializer[Any]):
    registration = serializers.CharField()
    access = serializers.CharField()
    openings = serializers.IntegerField(help_text="So many fewer.")
    opening_saved = serializers.IntegerField(help_text="What these cost.")
    life_lost = serializers.IntegerField(help_text="What the life thrown away for it costs.")


class PlanShown(serializers.Serializer[Any]):
    """The plan of the fleet in figures: each check with its jobs, what needs somebody, what was saved."""

    as_of = serializers.DateField()
    until_on = serializers.DateField()
    margin_days = serializers.IntegerField()
    placed = serializers.IntegerField(help_text="Jobs that have a check.")
    needing = serializers.IntegerField(help_text="Jobs that somebody must see to.")
    beyond = serializers.IntegerField(help_text="Jobs that no check is planned late enough for.")
    checks = PlannedCheckShown(many=True)
    saved = SavedShown(many=True)


class JobShown(serializers.Serializer[Any]):
    """One job of the plan: a due item, or all for which one unit comes off, by the first of them."""

    item = serializers.IntegerField(source="item_id", help_text="Its id in the due list.")
    state = serializers.ChoiceField(sorted(set(STATES.values())))
    registration = serializers.CharField(source="row.registration")
    position = serializers.CharField(source="row.position")
    inside = serializers.CharField(source="row.inside")
    unit = serializers.IntegerField(source="row.unit_id", allow_null=True)
    part_number = serializers.CharField(source="row.part_number")
    serial_number = serializers.CharField(source="row.serial_number")
    work = serializers.CharField(source="row.work")
    limit = serializers.CharField(source="row.limit")
    also = serializers.IntegerField(help_text="Other due items done as its unit comes off.")
    last_on = serializers.DateField(allow_null=True, help_text="The last good day.")
    check = GroundTimeShown(allow_null=True)
    on = serializers.DateField(
        allow_null=True,
        help_text="When it is done; without a check, by when a ground time or a later check is needed.",
    )
    station = serializers.CharField(
        help_text="Where: the check's, else where the aircraft belongs. The proposal asks for a unit there."
    )
    days_early = serializers.IntegerField(allow_null=True)
    access = serializers.CharField(help_text="What is opened for it.")
    how = serializers.CharField(help_text="Why at this check, where it is not its last in time.")
    needed = serializers.CharField(help_text="What it needs, where it has no check.")


class JobPage(serializers.Serializer[Any]):
    next = serializers.URLField(allow_null=True)
    results = JobShown(many=True)


CHECK = {
    "id": 31,
    "name": "A24",
    "is_overnight": False,
    "starts_on": "2027-03-03",
    "ends_on": "2027-03-05",
    "station": "NRV",
}
PLAN = {
    "as_of": "2027-01-04",
    "until_on": "2027-05-01",
    "margin_days": 7,
    "placed": 412,
    "needing": 3,
    "beyond": 88,
    "checks": [{**CHECK, "registration": "Q7-VAB", "jobs": 9}],
    "saved": [
        {
            "registration": "Q7-VAB",
            "access": "DOOR 1",
            "openings": 1,
            "opening_saved": 350,
            "life_lost": 48,
        }
    ],
}
JOB = {
    "item": 2147483649,
    "state": "placed",
    "registration": "Q7-VAB",
    "position": "D1L-SLIDE",
    "inside": "",
    "unit": 512,
    "part_number": "HS-4120",
    "serial_number": "S0817",
    "work": "Overhaul",
    "limit": "SL-OH",
    "also": 2,
    "last_on": "2027-03-20",
    "check": CHECK,
    "on": "2027-03-03",
    "station": "NRV",
    "days_early": 17,
    "access": "DOOR 1",
    "how": "",
    "needed": "",
}

"""What the package's door shows."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from scheduling.packages.doors.lived import HANDED, HandedShown
from scheduling.planning.shapes import CHECK, JOB, GroundTimeShown, JobShown


class CautionShown(serializers.Serializer[Any]):
    step = serializers.IntegerField()
    words = serializers.CharField()


class StepListNamed(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    title = serializers.CharField()
    document = serializers.CharField()
    tools = serializers.ListField(
        child=serializers.CharField(), help_text="Sorts of tools it measures with; what it counts."
    )
    cautions = CautionShown(many=True)


class SetAsideShown(serializers.Serializer[Any]):
    unit = serializers.IntegerField(source="unit_id")
    words = serializers.CharField(source="unit")
    where = serializers.CharField(help_text="Its store and bin.")
    by = serializers.CharField()
    is_issued = serializers.BooleanField(help_text="Handed out already.")
    why_not = serializers.CharField(
        help_text="Why it may not be used at the check; blank: nothing is known against it."
    )


class FittingShown(serializers.Serializer[Any]):
    """Which part numbers fit where a unit comes off."""

    is_listed = serializers.BooleanField(
        help_text="Fits are entered for the position; else any part of its kind counts, of either hand."
    )
    parts = serializers.ListField(child=serializers.CharField())
    words = serializers.CharField()


class PackageWork(serializers.Serializer[Any]):
    item = serializers.IntegerField(source="item_id", help_text="Its id in the due list.")
    work = serializers.CharField()
    limit = serializers.CharField()
    document = serializers.CharField()
    unit = serializers.CharField()


class PackageLine(serializers.Serializer[Any]):
    job = JobShown()
    works = PackageWork(many=True)
    place = serializers.IntegerField(
        source="place_id",
        allow_null=True,
        help_text="Where its swap begins; null: nothing comes off.",
    )
    set_aside = SetAsideShown(allow_null=True)
    step_list = serializers.IntegerField(source="steps.id", default=None, allow_null=True)
    fits = FittingShown(source="fitting", allow_null=True)


class PackagePart(serializers.Serializer[Any]):
    zone = serializers.CharField()
    access = serializers.CharField()
    lines = PackageLine(many=True)


class PackageShown(serializers.Serializer[Any]):
    """All that is done at one check, by zone and access."""

    check_planned = GroundTimeShown(source="check_shown")
    registration = serializers.CharField(source="check.aircraft.registration")
    as_of = serializers.DateField()
    swaps = serializers.IntegerField()
    lacking = serializers.IntegerField(
        help_text="Swaps for which no unit is set aside, or one that may not be used."
    )
    now = serializers.IntegerField(
        help_text="Jobs of the aircraft that are overdue or not serviceable: at no check, and not in here."
    )
    unknown = serializers.IntegerField(
        help_text="Items of the aircraft whose data are missing: at no check, and not in here."
    )
    parts = PackagePart(many=True)
    lists = StepListNamed(many=True)
    documents = serializers.ListField(child=serializers.CharField())
    handed = HandedShown(
        allow_null=True, help_text="Since it was handed to the hangar; null: it was not."
    )


PACKAGE = {
    "check_planned": CHECK,
    "registration": "Q7-VAB",
    "as_of": "2027-01-04",
    "swaps": 1,
    "lacking": 0,
    "now": 0,
    "unknown": 0,
    "parts": [
        {
            "zone": "830",
            "access": "DOOR 1",
            "lines": [
                {
                    "job": JOB,
                    "works": [
                        {
                            "item": 2147483649,
                            "work": "Overhaul",
                            "limit": "SL-OH",
                            "document": "VAR-MP revision 7",
                            "unit": "HS-4120 S/N S0817",
                        }
                    ],
                    "place": 77,
                    "set_aside": {
                        "unit": 640,
                        "words": "HS-4120 S/N S0911",
                        "where": "store NRV B-04",
                        "by": "O. Lind",
                        "is_issued": False,
                        "why_not": "",
                    },
                    "step_list": 3,
                    "fits": {
                        "is_listed": True,
                        "parts": ["HS-4120"],
                        "words": "Fits: HS-4120",
                    },
                }
            ],
        }
    ],
    "lists": [
        {
            "id": 3,
            "title": "Change of a door slide",
            "document": "VAR-CMM 25-61 revision 4",
            "tools": ["wrench", "safety pins"],
            "cautions": [{"step": 1, "words": "Disarm the door. The slide inflates in seconds."}],
        }
    ],
    "documents": ["VAR-CMM 25-61 revision 4", "VAR-MP revision 7"],
    "handed": HANDED,
}

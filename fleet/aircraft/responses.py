"""What the fleet's doors show and take."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from fleet.aircraft.acts.checks import PLAN_CHECK
from fleet.doors.door import Paged
from fleet.doors.fields import Day, Instant, Shape, StrictBoolean, StrictText
from fleet.doors.requests import act_request_of
from fleet.doors.rows import RowShown
from fleet.house.pages import end_of
from fleet.models import (
    Aircraft,
    AircraftStatus,
    Check,
    Measure,
    Station,
    UtilisationReading,
)
from fleet.utilisation.acts.readings import RECORD_READING


class StationShown(RowShown):
    of = Station
    shows = "code name time_zone is_maintenance_base"
    told = {"time_zone": "An IANA zone name."}
    abilities = serializers.ListField(child=serializers.CharField())


class MeasureShown(RowShown):
    of = Measure
    shows = "code name unit counted_on"
    told = {
        "unit": "How a total is given: minutes, or a count.",
        "counted_on": "The aircraft, or the unit itself.",
    }


class GroundingShown(serializers.Serializer[Any]):
    """One thing that grounds an aircraft."""

    code = serializers.CharField(help_text="What it is, for programs.")
    sentence = serializers.CharField()
    position = serializers.CharField(help_text="Code of its position; empty: of the aircraft.")
    unit = serializers.IntegerField(source="unit_id", allow_null=True)
    swap = serializers.IntegerField(source="swap_id", allow_null=True)


class AircraftShown(RowShown):
    of = Aircraft
    shows = "registration msn aircraft_type.code station.code manufactured_on"
    told = {"msn": "Manufacturer's serial number."}
    status = serializers.ChoiceField(Aircraft.STATUSES)
    is_grounded = serializers.BooleanField(
        help_text="Something on record grounds it today. False is no release: what is not on record is not known."
    )
    grounded_by = GroundingShown(many=True, help_text="The gravest first.")


class PositionShown(serializers.Serializer[Any]):
    code = serializers.CharField(source="type_position.code")
    name = serializers.CharField(source="type_position.name")
    kind = serializers.CharField(source="type_position.kind.code")
    zone = serializers.CharField(source="type_position.zone")
    access_group = serializers.CharField(source="type_position.access_group")
    side = serializers.CharField(source="type_position.side")
    capacity = serializers.IntegerField(source="type_position.capacity")
    is_active = serializers.BooleanField()


class StatusShown(RowShown):
    of = AircraftStatus
    shows = "id aircraft.registration from_on document replaces recorded_at recorded_by.username"
    told = {"replaces": "The one of the same day that it stands instead of."}
    status = serializers.ChoiceField(Aircraft.STATUSES)


class AircraftInFull(AircraftShown):
    positions = PositionShown(many=True, source="positions_in_order")


class AircraftAsked(Paged):
    station = StrictText(required=False, max_length=8, help_text="A station's code.")
    aircraft_type = StrictText(required=False, max_length=24, help_text="A type's code.")
    status = serializers.ChoiceField(Aircraft.STATUSES, required=False)


class ReadingShown(RowShown):
    of = UtilisationReading
    shows = """
        id measure.code total read_at is_date_only source corrects is_annulment
        is_conforming act_id recorded_at recorded_by.username
    """
    told = {"is_conforming": "One that contradicts the others is kept and counted by nobody."}
    unit = serializers.CharField(source="measure.unit", help_text="minutes, or count.")
    reasons = serializers.ListField(
        child=serializers.JSONField(), help_text="Why it does not conform."
    )


class ReadingsAsked(Paged):
    measure = StrictText(required=False, max_length=16, help_text="A measure's code.")
    from_on = Day(required=False, help_text="Read on this day or later (UTC).")
    until_on = Day(required=False, help_text="Read on this day or earlier (UTC).")


class WhenRead(Shape):
    """The day on which a total was read, or the instant."""

    gives = ("read_at", "is_date_only")
    read_on = Day(required=False, help_text="At the end of this day.")
    read_at = Instant(required=False)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        if ("read_on" in attrs) == ("read_at" in attrs):
            raise serializers.ValidationError(
                {"read_on": ["Give either the day (read_on) or the instant (read_at)."]},
                "one_of_two",
            )
        is_date_only = "read_on" in attrs
        at = end_of(attrs["read_on"]) if is_date_only else attrs["read_at"]
        return {**attrs, "read_at": at, "is_date_only": is_date_only}


ReadingSent = act_request_of(
    RECORD_READING,
    "ReadingSent",
    "A total as read. Give the day (`read_on`) or the instant (`read_at`).",
    base=WhenRead,
)


class CheckShown(RowShown):
    of = Check
    shows = "id aircraft.registration name starts_on ends_on station.code is_cancelled"
    told = {"ends_on": "The last day on the ground."}
    sort = serializers.ChoiceField(Check.SORTS)
    abilities = serializers.ListField(
        child=serializers.CharField(), help_text="Codes of works possible there; empty: all."
    )


class ChecksAsked(Paged):
    from_on = Day(required=False, help_text="Ends on this day or later.")
    is_cancelled = StrictBoolean(required=False)


CheckSent = act_request_of(PLAN_CHECK, "CheckSent")

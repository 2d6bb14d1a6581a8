"""Doors through which units enter the records, are re-identified and are joined."""

from __future__ import annotations

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors import examples, responses
from equipment.keeping.merge import merge_units
from equipment.ledger.facts import IdentificationFact, MergeFact, UnitFact
from equipment.units.acts.units import enter_units, re_identify_units
from equipment.units.doors.unit_requests import IdentificationSent, MergeSent, UnitSent
from fleet.doors.door import Door, answer
from fleet.doors.schema import described

from .lists import Units, unit_of


class UnitsAndEntry(Units):
    """The list of units, and the door by which one enters the records."""

    @described(
        tag="Units",
        name="enter_unit",
        summary="Enter a unit",
        description="Enters a unit or lot that is nowhere yet; its receipt is a movement. One on "
        "record already is left as it is.",
        takes=UnitSent,
        sent=examples.UNIT_SENT,
        answer=responses.UnitShown,
        example={**examples.UNIT, "place": None},
        act="receive_unit",
    )
    def post(self, request: Request) -> Response:
        row = UnitFact(**self.brought(UnitSent))
        [entered] = enter_units(by=self.person, rows=[row], at=timezone.now())
        return answer(responses.UnitShown(unit_of(entered.id)).data, is_new=entered.is_new)


class Identifications(Door):
    @described(
        tag="Units",
        name="re_identify_unit",
        summary="Re-identify a unit",
        description="Records what part number and standard a unit is from a day on, by a document.",
        takes=IdentificationSent,
        sent=examples.IDENTIFICATION_SENT,
        answer=responses.UnitShown,
        example=examples.UNIT,
        act="record_certificate",
    )
    def post(self, request: Request) -> Response:
        row = IdentificationFact(**self.brought(IdentificationSent))
        [entered] = re_identify_units(by=self.person, rows=[row], at=timezone.now())
        return answer(responses.UnitShown(unit_of(row.unit_id)).data, is_new=entered.is_new)


class Merges(Door):
    @described(
        tag="Units",
        name="merge_units",
        summary="Join two units that are one",
        description="Records that two units turned out to be one: the absorbed one's movements are the "
        "kept one's. What the records said before stays readable.",
        takes=MergeSent,
        sent=examples.MERGE_SENT,
        answer=responses.UnitShown,
        example=examples.UNIT,
        act="merge_units",
    )
    def post(self, request: Request) -> Response:
        sent = self.brought(MergeSent)
        row = MergeFact(sent["kept"], sent["absorbed"], sent["reason"], sent["document"])
        [entered] = merge_units(by=self.person, rows=[row], at=timezone.now())
        return answer(responses.UnitShown(unit_of(row.kept_id)).data, is_new=entered.is_new)

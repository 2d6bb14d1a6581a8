"""Doors through which units enter the records, are re-identified and are joined."""

from __future__ import annotations

from equipment.common.doors import examples, responses
from equipment.keeping.merge import MERGE_UNITS
from equipment.models import Identification, Unit, UnitMerge
from equipment.units.acts.corrected import CORRECT_UNIT, UnitCorrectionShown
from equipment.units.acts.units import ENTER_UNIT, RE_IDENTIFY_UNIT
from fleet.doors.acts import act_door, act_path
from fleet.doors.answers import answer_of
from fleet.doors.requests import act_request_of

from .lists import Units, unit_of
from .unit_requests import OriginalPartSent, PartSent


def identified(identification_id: int) -> Unit:
    """The unit that an identification is of."""
    return unit_of(Identification.objects.values_list("unit", flat=True).get(pk=identification_id))


def kept_by(merge_id: int) -> Unit:
    """The unit that stays."""
    return unit_of(UnitMerge.objects.values_list("kept", flat=True).get(pk=merge_id))


UnitSent = act_request_of(
    ENTER_UNIT,
    "UnitSent",
    "A unit or lot, known by its original part and serial number: the same again is one act.",
    base=OriginalPartSent,
)
IdentificationSent = act_request_of(
    RE_IDENTIFY_UNIT,
    "IdentificationSent",
    "From a day on a unit is this part number at this standard, by a document.",
    base=PartSent,
)
MergeSent = act_request_of(MERGE_UNITS, "MergeSent", "Two units turned out to be one.")
UnitDoor = act_door(
    ENTER_UNIT,
    UnitSent,
    responses.UnitShown,
    {**examples.UNIT, "place": None},
    shown=lambda made: unit_of(made.id),
    base=Units,
)
IdentificationDoor = act_door(
    RE_IDENTIFY_UNIT,
    IdentificationSent,
    responses.UnitShown,
    examples.UNIT,
    shown=lambda made: identified(made.id),
)
MergeDoor = act_door(
    MERGE_UNITS,
    MergeSent,
    responses.UnitShown,
    examples.UNIT,
    shown=lambda made: kept_by(made.id),
)
CorrectionDoor = act_door(
    CORRECT_UNIT,
    act_request_of(CORRECT_UNIT, "UnitRecordCorrectionSent"),
    answer_of(UnitCorrectionShown),
    CORRECT_UNIT.answer,
)

urlpatterns = [
    act_path(ENTER_UNIT, UnitDoor, "api-units"),
    act_path(RE_IDENTIFY_UNIT, IdentificationDoor, "api-identifications"),
    act_path(MERGE_UNITS, MergeDoor, "api-merges"),
    act_path(CORRECT_UNIT, CorrectionDoor, "api-unit-corrections"),
]

"""A tag is printed to hang on its unit, each print with its number; one that holds no more is brought back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.availability.acts.units import lock_unit
from equipment.common.said import unit_row
from equipment.common.wording import unit_words
from equipment.models import PrintedTag, TagBack
from equipment.segregation.shop_first import counting_tag
from equipment.units.printed_state import state_of
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import number
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import User
from fleet.words.said import moment_words


@transaction.atomic
def print_tag(*, by: User, unit_id: int, act_id: UUID, at: datetime) -> PrintedTag:
    """This will number a print of the tag that counts of a unit. It says serviceable only where the rule of
    segregation lets the unit be used now; else the print says that it is not, and why.

    Refuses a unit without a tag.
    """
    ask(by, "print_tag")
    rows = PrintedTag.objects.filter(act_id=act_id)
    if done := done_before(act_id, "print_tag", {"unit_id": unit_id}, rows, by=by, at=at):
        return done
    unit = lock_unit(unit_id)
    tag = counting_tag(unit.pk, at)
    if tag is None:
        words = f"{unit_words(unit)} has no tag yet: tag it first, serviceable or not."
        raise Refused("no_tag", words, "unit")
    may_be_used = state_of(unit, on=at.date(), at=at).may_be_used
    return PrintedTag.objects.create(
        act_id=act_id,
        unit=unit,
        tag=tag,
        number=PrintedTag.objects.filter(unit=unit).count() + 1,
        is_serviceable=tag.sort == "serviceable" and may_be_used,
        printed_at=at,
        printed_by=by,
    )


@transaction.atomic
def bring_tag_back(*, by: User, printed_id: int, act_id: UUID, at: datetime) -> TagBack:
    """This will record that a printed tag was taken off its unit and destroyed. Refuses one that was already."""
    ask(by, "print_tag")
    rows = TagBack.objects.filter(act_id=act_id)
    told = {"printed_id": printed_id}
    if done := done_before(act_id, "bring_tag_back", told, rows, by=by, at=at):
        return done
    printed = PrintedTag.objects.filter(pk=printed_id).first()
    if printed is None:
        raise Refused("unknown_print", "No tag was printed under this number.", "printed")
    lock_unit(printed.unit_id)  # of two who bring it back one waits, and is told of the other
    before = TagBack.objects.filter(printed=printed).select_related("recorded_by").first()
    if before is not None:
        who, when = before.recorded_by.shown_name, moment_words(before.recorded_at)
        raise Refused("tag_back_already", f"{who} has recorded it on {when}.", "printed")
    return TagBack.objects.create(printed=printed, act_id=act_id, recorded_at=at, recorded_by=by)


@dataclass(frozen=True, slots=True)
class TagPrint:
    """The tag of a unit, to be printed."""

    unit_id: int = unit_row()


@dataclass(frozen=True, slots=True)
class TagTakenOff:
    """A printed tag that was taken off and destroyed."""

    printed_id: int = number("The print", least=1, name="printed")


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintShown:
    id: int = shown("pk")
    unit: int = shown("unit_id")
    number: int
    is_serviceable: bool
    printed_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class TagBackShown:
    printed: int = shown("printed_id")
    recorded_at: datetime


# --- declared ---------------------------------------------------------------------------------

PRINT_TAG = Act(
    name="print_tag",
    does=print_tag,
    said=TagPrint,
    tag="Stores",
    summary="Print a tag",
    description="Numbers a print of the tag that hangs on a unit; its PDF is at /stores/printed/{id}/. It says "
    "serviceable only where the unit may be used now.",
    address="stores/printed-tags",
    example={"act_id": EXAMPLE_ID, "unit": 812},
    shows=PrintShown,
    answer={
        "id": 7,
        "unit": 812,
        "number": 2,
        "is_serviceable": True,
        "printed_at": "2024-03-01T10:00:00Z",
    },
)
BRING_TAG_BACK = Act(
    name="bring_tag_back",
    does=bring_tag_back,
    said=TagTakenOff,
    who="print_tag",
    tag="Stores",
    summary="Bring a tag back",
    description="Records that a printed tag that holds no more was taken off its unit and destroyed.",
    address="stores/tags-back",
    example={"act_id": EXAMPLE_ID, "printed": 7},
    shows=TagBackShown,
    answer={"printed": 7, "recorded_at": "2024-03-01T10:00:00Z"},
)

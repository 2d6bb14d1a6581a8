"""A unit is tagged: serviceable or not, and why, as AMC1 145.A.42(a)(ii) asks of a tag."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.availability.acts.tag_facts import TagFact, refuse_tag
from equipment.common.questions import ask_first
from equipment.common.said import UNIT_ID, unit_row
from equipment.common.wording import unit_words
from equipment.keeping.derive import tell_condition
from equipment.keeping.freeing import free_failed
from equipment.models import Unit, UnitTag
from equipment.segregation.shop_first import condemned_by, condemned_words, not_back_from_shop
from fleet.acts.act import Act
from fleet.acts.answers import shown
from fleet.acts.fields import moment, within
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.moments import refuse_future
from fleet.house.refusals import Refusal, Refused
from fleet.models import User

from .units import lock_unit


@transaction.atomic
def tag_unit(
    *, by: User, unit_id: int, tag: TagFact, tagged_at: datetime, act_id: UUID, at: datetime
) -> UnitTag:
    """This will tag a unit from a moment on; one that fails frees what it was set aside for,
    and grounds the aircraft that it is on.

    Refuses an unknown unit, a tag that does not say why, a time to come, and *serviceable* for a
    unit that was deployed or discharged and has not been in the shop since (``shop_must_see_it``), or
    that was condemned as unsalvageable (``unit_condemned``).
    """
    ask(by, "tag_unit")
    said = {"unit_id": unit_id, "tag": tag, "tagged_at": tagged_at}
    rows = UnitTag.objects.filter(act_id=act_id)
    if done := done_before(act_id, "tag_unit", said, rows, by=by, at=at):
        return done
    refuse_tag(tag)
    unit = lock_unit(unit_id)
    refuse_future(tagged_at, at, "happened_on")
    _refuse_serviceable(unit, tag)
    made = UnitTag.objects.create(
        act_id=act_id,
        unit=unit,
        sort=tag.sort,
        why=tag.why,
        words=tag.words.strip(),
        actions_needed=tag.actions_needed,
        exposure=tag.exposure,
        preservation=tag.preservation,
        total_minutes=tag.total_minutes,
        total_cycles=tag.total_cycles,
        tagged_at=tagged_at,
        recorded_at=at,
        recorded_by=by,
    )
    if tag.sort != "serviceable":
        words = f"is tagged {made.get_sort_display()}: {made.words or made.get_why_display()}"
        free_failed(unit_ids=[unit.pk], words=words, by=by, at=at)
    tell_condition([unit.pk])
    return made


def _refuse_serviceable(unit: Unit, tag: TagFact) -> None:
    """What was condemned stays so; what was deployed or discharged, until the shop has had it."""
    if tag.sort != "serviceable":
        return
    by, words = condemned_by(unit.pk), unit_words(unit)
    if by is not None:
        sentence = f"{words} {condemned_words(by)}: it stays condemned, unless that is taken back as a mistake."
        raise Refused("unit_condemned", sentence, "tag")
    if tag.why != "shop":
        _refuse_before_the_shop(unit.pk, words)


def ask_of_condemned(unit: Unit, *, is_confirmed: bool) -> None:
    """This will ask, before a unit goes to a shop, whether one that was condemned is really to go there."""
    by = condemned_by(unit.pk)
    if by is not None and not is_confirmed:
        words = f"{unit_words(unit)} {condemned_words(by)}: no shop makes it serviceable again."
        ask_first([Refusal("unit_condemned", words, "unit")])


def _refuse_before_the_shop(unit_id: int, words: str) -> None:
    """Whatever it was tagged since: what was deployed or discharged waits for the shop."""
    records = Unit.objects.same_as([unit_id]).values_list("pk", flat=True)
    tag = not_back_from_shop(dict.fromkeys(records, unit_id)).get(unit_id)
    if tag is not None:
        sentence = f"{words} was {tag.get_why_display()}: it is serviceable again when the shop has released it."
        raise Refused("shop_must_see_it", sentence, "tag")


@dataclass(frozen=True, slots=True)
class Tagged:
    """A unit is tagged from a moment on."""

    unit_id: int = unit_row(help=UNIT_ID)
    tagged_at: datetime = moment("When, in UTC")
    tag: TagFact = within(TagFact)


@dataclass(frozen=True, slots=True, kw_only=True)
class TagShown:
    id: int
    unit: int = shown("unit_id")
    sort: str
    why: str
    words: str
    actions_needed: str
    exposure: str
    preservation: str
    total_minutes: int | None
    total_cycles: int | None
    swap: int | None = shown("swap_id")
    tagged_at: datetime


# --- declared ---------------------------------------------------------------------------------

_SAID = {
    "unit": 512,
    "tagged_at": "2024-03-03T14:05:00Z",
    "sort": "unserviceable",
    "why": "defect",
    "words": "Girt torn at the left end.",
    "actions_needed": "To the shop: repair.",
    "exposure": "None known.",
    "total_minutes": 512400,
    "total_cycles": 6120,
}
TAG_UNIT = Act(
    name="tag_unit",
    does=tag_unit,
    said=Tagged,
    tag="Beside a swap",
    summary="Tag a unit",
    description="Tags a unit serviceable or not, from a moment on, with what whoever gets it must "
    "know. One that was deployed or discharged is serviceable again when the shop has had it.",
    address="tags",
    example={"act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c01", **_SAID},
    shows=TagShown,
    answer={"id": 61, **_SAID, "preservation": "", "swap": None},
)

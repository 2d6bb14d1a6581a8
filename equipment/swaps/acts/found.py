"""What a person found to differ from the record: seen, written down, and left to the controller."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol
from uuid import UUID

from django.db.models import Q

from equipment.common.texts import derived_act_id
from equipment.common.wording import place_words, unit_words
from equipment.ledger.facts import Recorded, SightingFact, When
from equipment.models import Discrepancy, Settlement, Sighting, Stay, Swap, Unit
from equipment.units.acts.sightings import record_sightings
from fleet.house.refusals import Refusal
from fleet.house.texts import refuse_blank
from fleet.models import User

from .facts import FoundUnit, Moved

MOST_WORDS = 400


class Posted(Protocol):
    """What of a removal or installation is told of here."""

    @property
    def by(self) -> User: ...
    @property
    def swap(self) -> Swap: ...
    @property
    def role(self) -> str: ...
    @property
    def when(self) -> When: ...
    @property
    def act_id(self) -> UUID: ...
    @property
    def at(self) -> datetime: ...


@dataclass(frozen=True, slots=True)
class Told:
    """What is said of one discrepancy."""

    sort: str
    words: str
    unit: Unit | None
    recorded: list[Unit]
    movement_id: int | None


def occupants_at(place_id: int, at: datetime) -> list[Unit]:
    """The units that the records, as they are now, say were at a place at an instant."""
    stays = Stay.objects.filter(place=place_id, known__upper_inf=True, valid__startswith__lte=at)
    # One that ends at this very instant was there until then.
    there = stays.filter(Q(valid__upper_inf=True) | Q(valid__endswith__gte=at))
    units = Unit.objects.filter(pk__in=there.values("unit")).select_related("part_number")
    return list(units.order_by("pk"))


def unit_read(found: FoundUnit) -> Unit | None:
    """The unit that a plate names, if just one on record has this part and serial number."""
    number = refuse_blank(
        found.part_number, "Type the part number on the plate.", "part_number", 40
    )
    serial = refuse_blank(
        found.serial_number, "Type the serial number on the plate.", "serial_number", 40
    )
    named = Q(part_number__number__iexact=number) | Q(original_part__number__iexact=number)
    same = Unit.objects.filter(named, serial_number__iexact=serial)
    units = list(same.filter(merged_into=None).select_related("part_number")[:2])
    return units[0] if len(units) == 1 else None


def note_discrepancy(
    post: Posted, unit: Unit, recorded: list[Unit], done: Recorded, more: Sequence[Refusal] = ()
) -> int:
    """This will note what did not conform: another unit than recorded, or another contradiction;
    ``more`` is what was asked about besides."""
    differs = post.role == "off" and unit.pk not in {each.pk for each in recorded}
    sort = ("other_unit" if recorded else "unrecorded_unit") if differs else "nonconforming"
    where = place_words(post.swap.place)
    told = " ".join(reason.message for reason in (*more, *done.reasons))
    if differs:
        said = ", ".join(map(unit_words, recorded)) or "nothing"
        words = f"{unit_words(unit)} came off {where}, where {said} is recorded. {told}"
        _sighted(post, unit.part_number.number, unit.serial_number, unit.pk)
    else:
        what = "The removal" if post.role == "off" else "The installation"
        words = f"{what} of {unit_words(unit)} at {where} does not conform. {told}"
    told_of = Told(sort, words, unit, recorded, done.movement_id)
    return _noted(post, told_of)


def settle_corrected(post: Posted, unit: Unit, before_id: int, done: Recorded) -> None:
    """This will settle what was noted of the movement that was recorded wrongly, now that it is recorded
    again and conforms: the fact itself answers it, and what was entered first stays readable."""
    words = f"Recorded again in the swap: it was {unit_words(unit)}."
    for each in Discrepancy.objects.filter(movement=before_id, settlement=None).order_by("pk"):
        Settlement.objects.create(
            discrepancy=each,
            act_id=derived_act_id(post.act_id, f"settles {each.pk}"),
            sort="corrected",
            words=words,
            movement_id=done.movement_id,
            settled_at=post.at,
            settled_by=post.by,
        )


def note_unknown(swap: Swap, found: FoundUnit, post: Posted) -> Moved:
    """This will note a unit that is on no record as seen; nothing moves until it is received."""
    recorded = occupants_at(swap.place_id, post.when.at)
    read = f"P/N {found.part_number.strip()} S/N {found.serial_number.strip()}"
    did = "came off" if post.role == "off" else "went on"
    words = f"{read} {did} {place_words(swap.place)} and is not on record."
    _sighted(post, found.part_number.strip(), found.serial_number.strip(), None)
    key = _noted(post, Told("unknown_unit", words, None, recorded, None))
    return Moved(None, False, (Refusal("unknown_unit", words, "unit"),), key)


def _sighted(post: Posted, part: str, serial: str, unit_id: int | None) -> None:
    fact = SightingFact(
        act_id=derived_act_id(post.act_id, "sighting"),
        when=post.when,
        place=post.swap.place_id,
        unit_id=unit_id,
        part_number_read=part,
        serial_number_read=serial,
        note=f"swap {post.swap.pk}",
    )
    record_sightings(by=post.by, rows=[fact], at=post.at)


def _noted(post: Posted, told: Told) -> int:
    seen = Sighting.objects.filter(act_id=derived_act_id(post.act_id, "sighting")).first()
    made = Discrepancy.objects.create(
        act_id=derived_act_id(post.act_id, "discrepancy"),
        sort=told.sort,
        aircraft=post.swap.aircraft,
        place=post.swap.place,
        swap=post.swap,
        sighting=seen,
        movement_id=told.movement_id,
        recorded_unit=told.recorded[0] if len(told.recorded) == 1 else None,
        found_unit=told.unit,
        words=told.words[:MOST_WORDS],
        found_at=post.when.at,
        found_by=post.by,
    )
    return made.pk

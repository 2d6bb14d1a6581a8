"""What is set aside of a lot for a need: as many pieces as it takes, a lot of their own."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID, uuid5

from equipment.availability.acts.using import why_not_use_unit
from equipment.common.wording import PLACE_PARTS
from equipment.ledger.facts import When
from equipment.models import Place, Stay, Unit
from equipment.units.acts.lots import SplitOff, split_off
from fleet.house.refusals import Refused
from fleet.models import User
from scheduling.models import ProposedNeed


def pieces_for(by: User, row: ProposedNeed, unit_id: int, act_id: UUID, at: datetime) -> int:
    """The unit that is set aside for a need: the unit itself, or what is split off a lot that has more pieces than the
    need takes. Refuses with every reason against using the lot there, before anything is split."""
    unit = Unit.objects.select_related("part_number", "place__station").get(pk=unit_id)
    there = Stay.objects.filter(unit=unit, known__upper_inf=True, valid__contains=at).first()
    if not unit.part_number.is_lot or there is None or there.quantity <= row.pieces:
        return unit.pk
    place = Place.objects.select_related(*PLACE_PARTS).get(pk=row.place_id)
    if reasons := why_not_use_unit(unit_id=unit.pk, place=place, need_on=row.on, at=at):
        raise Refused.all_of(reasons)
    zone = unit.place.station.time_zone if unit.place and unit.place.station else "UTC"
    off = SplitOff(unit.pk, row.pieces, When(at, "instant", zone), reason=f"for {row.key}"[:200])
    return split_off(by=by, off=off, act_id=uuid5(act_id, "split"), at=at)[0].unit_id

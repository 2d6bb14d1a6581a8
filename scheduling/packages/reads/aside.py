"""What is set aside for the places of a package, and whether it may still be used for them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.models import Reservation
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import UnitUse, why_not_use
from fleet.models import Check
from scheduling.facts.units import end_of

#: That a unit is set aside is no reason against itself.
ITS_OWN = "reserved_elsewhere"


@dataclass(frozen=True, slots=True)
class SetAside:
    """A unit set aside for the position: where it is (its bin), and whether it was handed out already.

    ``why_not`` is what segregation says against using it at the check; empty where nothing.
    """

    unit_id: int
    unit: str
    where: str
    by: str
    is_issued: bool
    why_not: str = ""


class Aside:
    """What is set aside by place and the unit that comes off there (None: whichever does), the first need's first."""

    def __init__(self) -> None:
        self._kept: dict[tuple[int, int | None], list[SetAside]] = defaultdict(list)

    def add(self, place_id: int, unit_off_id: int | None, one: SetAside) -> None:
        self._kept[place_id, unit_off_id].append(one)

    def taken_for(self, place_id: int, unit_off_id: int) -> SetAside | None:
        """What is set aside for the unit that comes off there: by its ruling where there is one, else the next that is
        for whichever does. Each is given once: where several come off one place, no line shows another's unit."""
        for key in ((place_id, unit_off_id), (place_id, None)):
            if self._kept[key]:
                return self._kept[key].pop(0)
        return None


def set_aside(place_ids: Sequence[int], check: Check, as_of: date) -> Aside:
    """What is set aside for these places and neither used nor freed, each judged for the first day of the check.
    As many questions for any number of places."""
    rows = Reservation.objects.filter(place__in=place_ids, ended_at=None).order_by("need_on", "pk")
    names = ("unit__part_number", "reserved_by", "ruling")
    where = (f"unit__place__{part}" for part in PLACE_PARTS)
    found = list(rows.select_related(*names, "unit__place", *where))
    asked = Asked(
        max(check.starts_on, as_of),
        end_of(as_of) - timedelta(microseconds=1),
        aircraft=(check.aircraft.registration, check.aircraft.msn),
    )
    uses = uses_of([row.unit_id for row in found], asked) if found else {}
    kept = Aside()
    for row in found:
        ruling = getattr(row, "ruling", None)
        off = ruling.unit_off_id if ruling else None
        kept.add(row.place_id, off, _shown(row, uses[row.unit_id]))
    return kept


def _shown(row: Reservation, use: UnitUse) -> SetAside:
    against = [each.message for each in why_not_use(use) if each.code != ITS_OWN]
    return SetAside(
        row.unit_id,
        f"{row.unit.part_number.number} S/N {row.unit.serial_number}",
        place_words(row.unit.place),
        row.reserved_by.shown_name,
        row.issued_at is not None,
        against[0] if against else "",
    )

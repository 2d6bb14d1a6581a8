"""Open items as pages list them: what stays open, by which document, and how many days are left."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.judging.deferral import DAYS, every_words
from equipment.models import OpenItem

MOST = 50


@dataclass(frozen=True, slots=True)
class OpenRow:
    """One open item on a day; ``left`` counts the days after it that it may still stay open."""

    id: int
    registration: str
    where: str
    words: str
    document: str
    category: str
    repeat_actions: str
    every: str
    effect: str
    expires_on: date
    left: int
    swap_id: int | None
    approval: str = ""
    may_extend: bool = False

    @property
    def is_over(self) -> bool:
        return self.left < 0

    @property
    def left_words(self) -> str:
        """``12 days remaining``, ``last day``, ``3 days over``."""
        if self.left == 0:
            return "last day"
        days = "day" if abs(self.left) == 1 else "days"
        return f"{abs(self.left)} {days} {'over' if self.is_over else 'remaining'}"


def open_rows(
    on: date, aircraft_id: int | None = None, most: int = MOST
) -> tuple[list[OpenRow], int]:
    """The items that nothing has closed by a day, the first to expire on top, and how many more there are."""
    found = OpenItem.objects.open_on(on)
    if aircraft_id is not None:
        found = found.filter(aircraft=aircraft_id)
    parts = (f"place__{part}" for part in PLACE_PARTS)
    rows = list(found.select_related("aircraft", *parts).order_by("expires_on", "pk")[: most + 1])
    more = found.count() - most if len(rows) > most else 0
    return [_row(each, on) for each in rows[:most]], more


def _row(item: OpenItem, on: date) -> OpenRow:
    return OpenRow(
        id=item.pk,
        registration=item.aircraft.registration,
        where=place_words(item.place) if item.place else item.aircraft.registration,
        words=item.words,
        document=item.document,
        category=item.category,
        repeat_actions=item.repeat_actions,
        every=every_words(item.repeat_days, item.repeat_hours),
        effect=item.effect,
        expires_on=item.expires_on,
        left=(item.expires_on - on).days,
        swap_id=item.swap_id,
        approval=item.approval,
        may_extend=item.extends_id is None and item.category.strip().upper() in DAYS,
    )

"""A place by its description, and when something happened."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from zoneinfo import ZoneInfo


@dataclass(frozen=True, slots=True)
class PlaceAt:
    """A place by its description; made when it is first used. ``sort`` is one of ``Place.SORTS``.

    A position of an aircraft by ``aircraft_position_id``; one inside a unit by ``parent_unit_id``
    and ``part_position_id``; a store or quarantine by ``station_id``; a shop, another party or
    gone by ``name`` (a shop also by station, if it is one's own).
    """

    sort: str
    aircraft_position_id: int | None = None
    parent_unit_id: int | None = None
    part_position_id: int | None = None
    station_id: int | None = None
    name: str = ""


@dataclass(frozen=True, slots=True)
class When:
    """When something happened: an instant, and how exactly it is known.

    Of a day (month, year) alone ``at`` is its start in ``zone``, an IANA name.
    """

    at: datetime
    precision: str = "instant"
    zone: str = "UTC"

    @classmethod
    def on(cls, day: date, zone: str = "UTC", precision: str = "day") -> When:
        """A day alone; of a month or a year give its first day."""
        return cls(datetime.combine(day, time(), ZoneInfo(zone)), precision, zone)

    @property
    def here(self) -> datetime:
        """``at`` by the clocks of its zone."""
        return self.at.astimezone(ZoneInfo(self.zone))

    @property
    def day(self) -> date:
        return self.here.date()

"""What is said on a walk-round: that it begins, and what is read at a position."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from equipment.common.said import station_coded
from equipment.ledger.facts import PlaceAt
from fleet.acts.fields import coded, day, number, part, text, within, yes_no
from fleet.models import Aircraft


@dataclass(frozen=True, slots=True)
class Seen:
    """What was read at one position, of one unit. ``is_empty``: nothing (more) is there."""

    part_number_read: str = text("P/N", 40, default="")
    serial_number_read: str = text("S/N", 40, default="")
    expiry_read: date | None = day("Expiry on it", default=None)
    gauge_read: str = text("Gauge", 40, default="", help="A pressure with its unit, or in words.")
    pin_read: str = text("Safety pin, seal", 40, default="")
    note: str = text("Note", 180, default="")
    is_empty: bool = yes_no("Nothing is there", help="Nothing (more) is there.")

    @property
    def plate(self) -> str:
        """``HS-4410 S/N 731``: what was read of the plate."""
        number, serial = self.part_number_read.strip(), self.serial_number_read.strip()
        return " ".join(part for part in (number, f"S/N {serial}" if serial else "") if part)


@dataclass(frozen=True, slots=True)
class WalkBegun:
    """A check of what is really there, of an aircraft or one of its zones."""

    aircraft_id: int = coded("Aircraft", Aircraft, "registration", "aircraft", most=10)
    station_id: int = station_coded()
    zone: str = text(
        "Zone (blank: the whole aircraft)", 16, default="", help="Empty: the whole aircraft."
    )


@dataclass(frozen=True, slots=True)
class Look:
    """What was read at a position on a walk-round."""

    walk_round_id: int = number("The walk-round", least=1, name="walk_round")
    place: int | PlaceAt = part("The position", PlaceAt)
    seen: Seen = within(Seen)

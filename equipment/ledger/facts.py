"""What the equipment's acts take and give back: plain, frozen facts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from uuid import UUID
from zoneinfo import ZoneInfo

from fleet.house.refusals import Refusal, Refused


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


@dataclass(frozen=True, slots=True)
class MovementFact:
    """One movement to be recorded: what happened to which unit, where it is from then on.

    ``to`` is a place's key or its description. ``quantity`` is how many the unit (a lot) has from
    then on; None leaves it. ``aircraft_minutes`` and ``aircraft_cycles`` are the aircraft's totals
    as read. ``corrects`` names the movement that this one replaces. ``act_id`` is this row's own,
    where one call brings several movements of one unit; else the call's. ``off`` is the key of the
    place that a removal is said to be from: of a unit recorded at another one it does not conform.
    """

    unit_id: int
    sort: str
    to: int | PlaceAt
    when: When
    day_order: int = 0
    aircraft_minutes: int | None = None
    aircraft_cycles: int | None = None
    log_page: str = ""
    document: str = ""
    reason: str = ""
    quantity: int | None = None
    corrects: int | None = None
    act_id: UUID | None = None
    off: int | None = None


@dataclass(frozen=True, slots=True)
class Recorded:
    """What became of one row. ``is_new`` is false where the same act had been done before."""

    movement_id: int
    unit_id: int
    is_conforming: bool
    reasons: tuple[Refusal, ...] = ()
    is_new: bool = True


class RowsRefused(Refused):
    """Rows of one call that were refused: every reason by the row's index. Nothing was recorded."""

    def __init__(self, by_row: Mapping[int, list[Refusal]]) -> None:
        self.by_row = {row: list(reasons) for row, reasons in by_row.items() if reasons}
        every = [reason for reasons in self.by_row.values() for reason in reasons]
        super().__init__(every[0].code, every[0].message, every[0].field)
        self.refusals = every


@dataclass(frozen=True, slots=True)
class UnitFact:
    """A unit, or a lot, as it is entered: known by its original part and serial number.

    ``part_number_id`` is what it is now, if re-identified: then ``identified_on`` says since when
    and ``identified_by`` by which document.
    """

    original_part_id: int
    serial_number: str
    part_number_id: int | None = None
    standard_id: int | None = None
    identified_on: date | None = None
    identified_by: str = ""
    manufactured_on: date | None = None
    manufactured_precision: str = "day"
    stated_life_months: int | None = None
    quantity: int = 1
    note: str = ""


@dataclass(frozen=True, slots=True)
class LifeStatementFact:
    """A dated total (minutes or a count) of one measure of one unit; ``since`` new or overhaul."""

    unit_id: int
    measure_id: int
    stated_on: date
    total: int
    source: str
    quality: str
    since: str = "new"
    corrects: int | None = None


@dataclass(frozen=True, slots=True)
class CertificateFact:
    """A release certificate or other paper of a unit."""

    unit_id: int
    form: str
    tracking_number: str
    issued_on: date
    issuer: str
    status: str
    remarks: str = ""
    is_dual_release: bool = False
    supplier: str = ""
    work_order: str = ""


@dataclass(frozen=True, slots=True)
class TitleFact:
    """Whose a unit is from a day on; ``sort`` is one of ``Title.SORTS``."""

    unit_id: int
    sort: str
    owner: str
    from_on: date
    return_by: date | None = None
    core_due_on: date | None = None
    customs: str = ""
    restriction: str = ""
    document: str = ""
    charge: str = ""


@dataclass(frozen=True, slots=True)
class IdentificationFact:
    """From this day a unit is this part number at this standard, by this document."""

    unit_id: int
    part_number_id: int
    from_on: date
    document: str
    standard_id: int | None = None


@dataclass(frozen=True, slots=True)
class SightingFact:
    """What somebody read on a unit in its place. ``reconciles`` names the sighting it settles."""

    act_id: UUID
    when: When
    place: int | PlaceAt | None = None
    unit_id: int | None = None
    part_number_read: str = ""
    serial_number_read: str = ""
    expiry_read: date | None = None
    gauge_read: str = ""
    pin_read: str = ""
    note: str = ""
    reconciles: int | None = None


@dataclass(frozen=True, slots=True)
class AnnulmentFact:
    """A recorded movement never happened."""

    movement_id: int
    reason: str
    act_id: UUID


@dataclass(frozen=True, slots=True)
class MergeFact:
    """Two units turned out to be one: ``absorbed`` is ``kept``."""

    kept_id: int
    absorbed_id: int
    reason: str
    document: str = ""


@dataclass(frozen=True, slots=True)
class Entered:
    """What became of one row of papers or units: its key; ``is_new`` false if it was on record."""

    id: int
    is_new: bool = True

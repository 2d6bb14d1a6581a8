"""The numbers beneath each picture, as a list: on paper, in a workbook, as CSV."""

from __future__ import annotations

from datetime import date

from equipment.common.listing import Cell, Column, Listing, Minutes
from fleet.words.said import day_words, month_words
from scheduling.matching.solving.poisson import Interval

from .reads.early import early_changes
from .reads.months import months_ahead
from .reads.reliability import PartRemovals, reliability
from .reads.trend import overdue_trend

SLOTS = (
    "Slot days taken",
    "Slot days held",
    "Days with more than held",
    "Checks where no slots are stated",
)


def ahead_listing(today: date, address: str) -> Listing:
    """Works due in each month ahead by kind, with the checks."""
    told = months_ahead(today)
    heads = ("Month", *told.kinds, "Due in all", "Fit no check", "Checks", "Days on the ground")
    return Listing(
        title="The months ahead",
        as_of=f"By the plan of {day_words(today)}",
        columns=[Column(head) for head in (*heads, "Planned at its checks", *SLOTS)],
        rows=[
            [
                month.month,
                *(month.due.get(kind, 0) for kind in told.kinds),
                month.total,
                month.unmet,
                month.checks,
                month.ground_days,
                month.placed,
                month.slots.taken,
                month.slots.held,
                month.slots.over,
                month.slots.unsaid,
            ]
            for month in told.months
        ],
        address=address,
        name=f"months-ahead-{today:%Y-%m-%d}",
        facts=[
            ("To be done now", str(told.now)),
            ("Before a return to service", str(told.parked)),
            ("Without a day", str(told.undated)),
        ],
        is_wide=True,
    )


def early_listing(today: date, address: str) -> Listing:
    """Days of life thrown away, by part number and work, month by month."""
    told = early_changes(today)
    heads = (
        "Part number",
        "Description",
        "Work",
        "Works",
        "Early",
        "Days",
        "Late",
        "Day not known",
    )
    return Listing(
        title="Life thrown away by early changes",
        as_of=f"Works of a year, by {day_words(today)}",
        columns=[Column(head) for head in heads]
        + [Column(month_words(month), 0) for month in told.months],
        rows=[
            [
                part.part_number,
                part.description,
                part.work,
                part.works,
                part.early,
                part.days,
                part.late,
                part.unknown,
                *part.months,
            ]
            for part in told.parts
        ],
        address=address,
        name=f"early-changes-{today:%Y-%m-%d}",
        facts=[("Not judged yet", str(told.waiting))],
        is_wide=True,
    )


def trend_listing(today: date, address: str) -> Listing:
    """What stood in the loud bands, day by day."""
    heads = ("Day", "Overdue", "Unserviceable", "Data missing", "Before next check", "Items", "How")
    return Listing(
        title="Overdue, day by day",
        as_of=f"By {day_words(today)}",
        columns=[Column(head) for head in heads],
        rows=[
            [
                row.day,
                row.overdue,
                row.unserviceable,
                row.no_basis,
                row.out_of_phase,
                row.items,
                "reckoned later" if row.is_later else "counted that day",
            ]
            for row in overdue_trend(today).rows
        ],
        address=address,
        name=f"overdue-{today:%Y-%m-%d}",
    )


def reliability_listing(today: date, address: str) -> Listing:
    """Removals by cause of each part number, with the interval of each figure."""
    told = reliability(today)
    heads = ("Part number", "Description", "Kind", "Unit hours", "Removals", "Planned", "No fault")
    more = ("Unplanned", "Cause not recorded", "Unplanned per 1 000 h", "at least", "at most")
    between = ("Mean hours between", "at least ", "at most ")
    return Listing(
        title="Removals by cause, and how reliable each part number is",
        as_of=f"{day_words(told.since)} to {day_words(told.until)}",
        columns=[Column(head) for head in (*heads, *more, *between)],
        rows=[_reliable(part) for part in told.parts],
        address=address,
        name=f"reliability-{today:%Y-%m-%d}",
        notes=[
            "At least and at most: the exact interval of a Poisson count, 95 %. Unplanned: a defect, an accident,"
            " deployed or discharged, by the unit's tag. Removals without a cause on record are in no rate."
        ],
        is_wide=True,
    )


def _reliable(part: PartRemovals) -> list[Cell]:
    return [
        part.part_number,
        part.description,
        part.kind,
        Minutes(part.minutes),
        part.removals,
        part.planned,
        part.good,
        part.unplanned,
        part.unsaid,
        _round(part.rate, 4),
        *_ends(part.rate_between, 4),
        _round(part.mean_hours, 0),
        *_ends(part.hours_between, 0),
    ]


def _ends(found: Interval | None, places: int) -> tuple[Cell, Cell]:
    return (_round(found.least, places), _round(found.most, places)) if found else (None, None)


def _round(value: float | None, places: int) -> float | None:
    return None if value is None else round(value, places)

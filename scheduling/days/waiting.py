"""What waits for the controller beside the due list: needs without a unit, robbed positions, records to reconcile."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from django.db.models import Exists, OuterRef

from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.models import Discrepancy, Movement, Swap, Unit
from scheduling.models import ProposalRun, ProposedNeed

NEED_DAYS = 30


@dataclass(frozen=True, slots=True)
class Waits:
    """Some lines of one sort, and how many there are in all."""

    lines: list[Waiting] = field(default_factory=list)
    count: int = 0

    @property
    def more(self) -> int:
        return self.count - len(self.lines)


@dataclass(frozen=True, slots=True)
class Waiting:
    """One line: where it is, what is so, since or on which day, and what opens it."""

    where: str
    words: str
    on: date
    unit_id: int | None = None
    swap_id: int | None = None


def needs_without_unit(run: ProposalRun | None, today: date, most: int) -> Waits:
    """Removals of the next thirty days for which the kept matching has no unit, the earliest first."""
    rows = ProposedNeed.objects.filter(
        run=run, unit=None, on__lte=today + timedelta(days=NEED_DAYS)
    )
    found = [
        Waiting(f"{row.registration} {row.position}", _need(row), row.on, row.unit_off_id)
        for row in rows.order_by("on", "key")[:most]
    ]
    return Waits(found, rows.count())


def _need(row: ProposedNeed) -> str:
    works = f" for {', '.join(row.works)}" if row.works else ""
    check = f" at {row.check_name}" if row.check_name else ""
    return f"{row.off_words} comes off{works}{check}"


def open_robberies(most: int) -> Waits:
    """Positions from which a unit was taken for another aircraft and that are still empty, the longest first."""
    there = Unit.objects.filter(place=OuterRef("place"), merged_into=None)
    rows = Swap.objects.filter(~Exists(there), sort="robbery", corrected_by=None)
    rows = rows.exclude(end__sort="abandoned")
    parts = (f"place__{part}" for part in PLACE_PARTS)
    named = rows.select_related("expected_off__part_number", *parts).order_by("opened_at", "pk")
    found = [
        Waiting(place_words(row.place), _robbed(row), row.opened_at.date(), swap_id=row.pk)
        for row in named[:most]
    ]
    return Waits(found, rows.count())


def _robbed(row: Swap) -> str:
    unit = unit_words(row.expected_off) if row.expected_off else "a unit"
    return f"{unit} was taken for another aircraft: {row.reason}"


def to_reconcile(most: int) -> Waits:
    """Discrepancies nobody has settled, and movements kept that do not conform, the oldest first."""
    differs = Discrepancy.objects.filter(settlement__isnull=True)
    parts = ("aircraft", *(f"place__{part}" for part in PLACE_PARTS))
    lines: list[tuple[datetime, Waiting]] = [
        (
            row.found_at,
            Waiting(
                place_words(row.place) if row.place else str(row.aircraft or "–"),
                row.get_sort_display(),
                row.found_at.date(),
            ),
        )
        for row in differs.select_related(*parts).order_by("found_at", "pk")[:most]
    ]
    odd = Movement.objects.nonconforming()
    lines += [
        (
            row.happened_at,
            Waiting(
                unit_words(row.unit),
                f"{row.get_sort_display()}: does not conform",
                row.happened_at.date(),
                row.unit_id,
            ),
        )
        for row in odd.select_related("unit__part_number")[:most]
    ]
    lines.sort(key=lambda line: line[0])
    return Waits([line for _, line in lines[:most]], differs.count() + odd.count())

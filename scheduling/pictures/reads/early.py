"""Life thrown away by changes before their limit: of each part number, in days, from the record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from django.db.models import QuerySet

from fleet.drawing.time import month_after
from scheduling.models import WorkDone, WorkJudged

MONTHS = 12


@dataclass(slots=True)
class PartEarly:
    """One part number and work: how many works, how many before their last day and by how many days in all,
    how many after it, and of how many the day is not known. ``months`` are the days thrown away in each."""

    part_number: str
    description: str
    work: str
    works: int = 0
    early: int = 0
    days: int = 0
    late: int = 0
    unknown: int = 0
    months: list[int] = field(default_factory=list)

    @property
    def mean(self) -> float:
        """Days thrown away at each early change."""
        return self.days / self.early if self.early else 0.0


@dataclass(frozen=True, slots=True)
class Early:
    """A year of works: the months (their first days), what each part number lost, most first. ``waiting``:
    so many works of the year are not judged yet."""

    months: Sequence[date]
    parts: Sequence[PartEarly]
    waiting: int

    @property
    def days_by_month(self) -> list[int]:
        return [sum(part.months[at] for part in self.parts) for at in range(len(self.months))]


def early_changes(today: date) -> Early:
    """What was thrown away in this month and the eleven before it. Two questions."""
    months = [month_after(today, -back) for back in range(MONTHS - 1, -1, -1)]
    done = {
        "work_done__done_on__gte": months[0],
        "work_done__done_on__lte": today,
        "work_done__corrected_by": None,
    }
    rows = WorkJudged.objects.filter(**done).values_list(
        "work_done__unit__part_number__number",
        "work_done__unit__part_number__description",
        "work_done__work__name",
        "work_done__done_on",
        "due_on",
    )
    found: dict[tuple[str, str], PartEarly] = {}
    for number, description, work, done_on, due_on in rows:
        part = found.setdefault(
            (number, work), PartEarly(number, description, work, months=[0] * MONTHS)
        )
        _add(part, months, done_on, due_on)
    parts = sorted(found.values(), key=lambda one: (-one.days, one.part_number, one.work))
    return Early(months, parts, to_judge(months[0], today).count())


def _add(part: PartEarly, months: Sequence[date], done_on: date, due_on: date | None) -> None:
    part.works += 1
    if due_on is None:
        part.unknown += 1
    elif due_on > done_on:
        part.early += 1
        part.days += (due_on - done_on).days
        part.months[months.index(done_on.replace(day=1))] += (due_on - done_on).days
    elif due_on < done_on:
        part.late += 1


def to_judge(since: date, today: date) -> QuerySet[WorkDone]:
    """The works of units, done from a day on to today, of which nobody said yet how early they were."""
    return WorkDone.objects.filter(
        judged=None,
        unit__isnull=False,
        result="passed",
        precision="day",
        is_annulment=False,
        corrected_by=None,
        done_on__gte=since,
        done_on__lte=today,
    )

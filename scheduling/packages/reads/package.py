"""The package of one check: its jobs by zone and access, each with its swap, the unit set aside, papers and cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import NamedTuple

import numpy as np

from equipment.models import Unit
from fleet.models import AircraftPosition, Check
from scheduling.due.lists.rows import DueRow
from scheduling.engine.basis.bands import Band
from scheduling.facts.copying import Ints
from scheduling.facts.items import subject_of
from scheduling.models import Limit
from scheduling.planning.facts.fleet import FleetPlan, plan_of
from scheduling.planning.facts.jobs import NOW
from scheduling.planning.reads.shown import JobShown, due_rows_of, jobs_shown

from .aside import SetAside, set_aside
from .fits import Fitting, fitting_at
from .steps import ListShown, step_lists_on


@dataclass(frozen=True, slots=True)
class Work:
    """One work of a job, its limit, and the document that asks for it."""

    item_id: int
    work: str
    limit: str
    document: str
    unit: str


@dataclass(frozen=True, slots=True)
class Line:
    """One job at the check. ``place_id`` is where its swap begins; None where nothing comes off."""

    job: JobShown
    zone: str
    works: tuple[Work, ...]
    place_id: int | None
    set_aside: SetAside | None
    steps: ListShown | None
    fitting: Fitting | None = None  #: None: nothing comes off

    @property
    def lacks_unit(self) -> bool:
        return self.place_id is not None and self.set_aside is None

    @property
    def is_refused(self) -> bool:
        """A unit is set aside, and may not be used."""
        return self.set_aside is not None and bool(self.set_aside.why_not)

    @property
    def own_unit(self) -> str:
        """The unit that the line is named by: of a work on it none is told again."""
        row = self.job.row
        return f"{row.part_number} S/N {row.serial_number}" if row.unit_id else ""

    @property
    def none_words(self) -> str:
        """What a file says where no unit is set aside: that there is none, and what fits."""
        return f"NONE\n{self.fitting.words}" if self.fitting else "NONE"

    @property
    def to_ask_for(self) -> tuple[str, ...]:
        """The part numbers of which one may be asked for: those that fit, or where none is entered what comes off."""
        if not self.lacks_unit or self.fitting is None:
            return ()
        row = self.job.row
        off = row.line_part_number or row.part_number
        return self.fitting.parts if self.fitting.is_listed else (off,)


@dataclass(frozen=True, slots=True)
class Behind:
    """What is done in one zone behind one access: it is opened once."""

    zone: str
    access: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Package:
    """All of a check. ``is_over``: nothing is placed at it any more. ``now`` jobs of its aircraft are overdue or not
    serviceable and ``unknown`` items have no basis: they are at no check, and not in it."""

    check: Check
    as_of: date
    parts: tuple[Behind, ...]
    now: int = 0
    unknown: int = 0

    @property
    def lines(self) -> list[Line]:
        return [line for part in self.parts for line in part.lines]

    @property
    def swaps(self) -> int:
        return sum(line.place_id is not None for line in self.lines)

    @property
    def lacking(self) -> int:
        return sum(line.lacks_unit or line.is_refused for line in self.lines)

    @property
    def lists(self) -> list[ListShown]:
        """Each step list once, in the order in which it is first needed."""
        return list({line.steps.id: line.steps for line in self.lines if line.steps}.values())

    @property
    def documents(self) -> list[str]:
        told = [work.document for line in self.lines for work in line.works if work.document]
        return sorted({*told, *(each.document for each in self.lists)})

    @property
    def is_over(self) -> bool:
        return self.check.ends_on < self.as_of


class _Fitted(NamedTuple):
    """The unit that comes off: where it is, of which part, at a position of which kind."""

    place_id: int
    part_id: int
    kind_id: int


def package_of(check: Check, as_of: date) -> Package:
    """The package of a check (with its aircraft and station). A fixed number of questions for any number of jobs."""
    plan = plan_of(as_of, [check.aircraft_id])
    at = [row for row, time in enumerate(plan.times) if time.id == check.pk]
    rows = np.flatnonzero(np.isin(plan.placed.check, at))
    jobs = jobs_shown(plan, rows)
    works = _works(plan, rows, as_of)
    zones = dict(
        AircraftPosition.objects.filter(aircraft=check.aircraft_id).values_list(
            "type_position__code", "type_position__zone"
        )
    )
    fitted = _fitted(jobs)
    places = [one.place_id for one in fitted.values()]
    aside, fitting = set_aside(places, check, as_of), fitting_at(places, check.aircraft.msn)
    lists = step_lists_on([one.kind_id for one in fitted.values()], check.starts_on)
    lines = []
    for job in jobs:
        off = fitted.get(_line_of(job.row)) if job.comes_off else None
        lines.append(
            Line(
                job,
                zones.get(job.row.position, ""),
                works.get(job.item_id, ()),
                off.place_id if off else None,
                aside.taken_for(off.place_id, _line_of(job.row)) if off else None,
                lists.of(off.kind_id, off.part_id) if off else None,
                fitting.get(off.place_id) if off else None,
            )
        )
    bands = plan.items.of_jobs("band")
    return Package(
        check,
        as_of,
        _by_access(lines),
        now=int(np.isin(bands, [int(band) for band in NOW]).sum()),
        unknown=int((plan.items.table["band"] == Band.NO_BASIS).sum()),
    )


def _line_of(row: DueRow) -> int:
    """The unit that comes off on the line."""
    return row.line_unit_id or row.unit_id or 0


def _by_access(lines: list[Line]) -> tuple[Behind, ...]:
    def behind(line: Line) -> tuple[str, str]:
        return line.zone, line.job.access

    lines.sort(
        key=lambda one: (*behind(one), one.job.row.position, one.job.row.inside, one.job.row.id)
    )
    return tuple(Behind(*key, tuple(group)) for key, group in groupby(lines, key=behind))


def _works(plan: FleetPlan, rows: Ints, as_of: date) -> dict[int, tuple[Work, ...]]:
    """All works of each job, by the item that decides: that one first."""
    table = plan.items.table
    of_job = {
        int(table["id"][plan.items.first[job]]): table["id"][plan.items.rows_of(job)].tolist()
        for job in plan.jobs[rows].tolist()
    }
    due = due_rows_of([key for keys in of_job.values() for key in keys], as_of)
    limits = Limit.objects.in_bulk({subject_of(key)[1] for key in due})
    return {
        first: tuple(_work(due[key], limits[subject_of(key)[1]]) for key in keys if key in due)
        for first, keys in of_job.items()
    }


def _work(row: DueRow, limit: Limit) -> Work:
    document = " revision ".join(part for part in (limit.document, limit.document_revision) if part)
    unit = f"{row.part_number} S/N {row.serial_number}" if row.unit_id else ""
    return Work(row.id, row.work, row.limit, document, unit)


def _fitted(jobs: Sequence[JobShown]) -> dict[int, _Fitted]:
    """The units that come off, by key. One question."""
    wanted = [_line_of(job.row) for job in jobs if job.comes_off]
    parts = (
        "pk",
        "place",
        "part_number",
        "place__part_position__kind",
        "place__aircraft_position__type_position__kind",
    )
    rows = Unit.objects.filter(pk__in=wanted, place__isnull=False).values_list(*parts)
    return {
        key: _Fitted(place, part, inside or outside or 0)
        for key, place, part, inside, outside in rows
    }

"""Works done: recorded, corrected, withdrawn. What restarts a clock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from fleet.acts.repeats import act_id_used, differs
from fleet.house import pace
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Reasons, Refusal
from fleet.house.signals import facts_changed
from fleet.models import User
from scheduling.models import WorkDone
from scheduling.reckoning.recompute import aircraft_of, raise_unit_stamps

AT_ONCE = 5000


@dataclass(frozen=True, slots=True)
class NewWork:
    """A work done on one unit, aircraft or position: give exactly one of the three.

    ``limit_code`` restricts it to one limit; else it restarts every limit that asks for this work
    or is reset by it. Totals are the subject's own at the work, in minutes and counts.
    ``corrects_id`` names the record that this one replaces, or withdraws (``is_annulment``).
    """

    work_id: int
    done_on: date
    act_id: UUID
    unit_id: int | None = None
    aircraft_id: int | None = None
    position_id: int | None = None
    limit_code: str = ""
    precision: str = "day"
    released_on: date | None = None
    shop_released_on: date | None = None
    original_due_on: date | None = None
    method: str = ""
    total_minutes: int | None = None
    total_cycles: int | None = None
    result: str = "passed"
    who: str = ""
    document: str = ""
    certificate: str = ""
    corrects_id: int | None = None
    is_annulment: bool = False


def _subject(row: NewWork | WorkDone) -> tuple[int | None, int | None, int | None]:
    return row.unit_id, row.aircraft_id, row.position_id


@transaction.atomic
def record_works(*, by: User, rows: Sequence[NewWork], now: datetime) -> list[WorkDone]:
    """This will record works done and return them all in their order, those already known too.

    Refuses a work on no subject or on several, a release before the work, a day that has not come,
    a correction of a record of another subject, already corrected, or not there; and an act's id
    that was used for another work.
    """
    ask(by, "record_work")
    known = _known(rows)
    if any(differs(asdict(row), vars(known[row.act_id])) for row in rows if row.act_id in known):
        raise act_id_used()
    return _recorded(by, rows, known, now)


@transaction.atomic
def record_certified(*, by: User, rows: Sequence[NewWork], now: datetime) -> list[WorkDone]:
    """The same for an act that has asked for its own permission: receiving what a certificate certifies.

    What a certificate says of a work is one fact: the first that brought it gave its details.
    """
    return _recorded(by, rows, _known(rows), now)


def _known(rows: Sequence[NewWork]) -> dict[UUID, WorkDone]:
    found = WorkDone.objects.filter(act_id__in={row.act_id for row in rows})
    return {one.act_id: one for one in found}


def _recorded(
    by: User, rows: Sequence[NewWork], known: dict[UUID, WorkDone], now: datetime
) -> list[WorkDone]:
    fresh = {row.act_id: row for row in rows if row.act_id not in known}
    _refuse_impossible(list(fresh.values()), now)
    made = [WorkDone(**asdict(row), recorded_at=now, recorded_by=by) for row in fresh.values()]
    for piece in pace.pieces(made, "writing", AT_ONCE):
        WorkDone.objects.bulk_create(piece)
    known |= {one.act_id: one for one in made}
    if made:
        _tell(list(fresh.values()))
    return [known[row.act_id] for row in rows]


def why_not_done(done_on: date, at: datetime) -> list[Refusal]:
    """``work_in_future`` of a day that has not come."""
    return why_future(done_on, at, "done_on", "record a work when it is done.", "work_in_future")


def _refuse_impossible(rows: Sequence[NewWork], now: datetime) -> None:
    reasons = Reasons()
    named = WorkDone.objects.in_bulk([row.corrects_id for row in rows if row.corrects_id])
    spent = set(WorkDone.objects.filter(corrects__in=named).values_list("corrects", flat=True))
    for row in rows:
        if sum(key is not None for key in _subject(row)) != 1:
            message = "A work is done on one unit, one aircraft or one position. Name one."
            reasons.add("work_on_no_one_subject", message, "unit")
        reasons.found += why_not_done(row.done_on, now)
        if row.released_on and row.precision == "day" and row.released_on < row.done_on:
            message = "The release is before the work. Change one of the dates."
            reasons.add("release_before_work", message, "released_on")
        if row.corrects_id is not None or row.is_annulment:
            _refuse_correction(row, named.get(row.corrects_id or 0), spent, reasons)
    reasons.refuse()


def _refuse_correction(
    row: NewWork, one: WorkDone | None, spent: set[int | None], reasons: Reasons
) -> None:
    if one is None or _subject(one) != _subject(row):
        message = "The record to correct is not one of this unit, aircraft or position."
        reasons.add("corrects_another", message, "corrects")
    elif one.pk in spent:
        message = "This record was corrected before. Correct the one that replaced it."
        reasons.add("already_corrected", message, "corrects")
    spent.add(row.corrects_id)


def _tell(rows: Sequence[NewWork]) -> None:
    """Positions and aircraft raise their stamps in the database; their items follow here."""
    units = sorted({row.unit_id for row in rows if row.unit_id})
    raise_unit_stamps(units)
    facts_changed.send(sender=record_works, unit_ids=units, aircraft_ids=aircraft_of(rows))

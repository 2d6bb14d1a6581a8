"""Works done: recorded, corrected, withdrawn. What restarts a clock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date, datetime
from typing import Protocol
from uuid import UUID

from django.db import transaction

from equipment.ledger.nesting import inside_now
from fleet.acts.act import Act
from fleet.acts.fields import choice, coded, day, number, stamp, text, unsaid, yes_no
from fleet.acts.repeats import Recorded, act_id_used, differs, retry_after_clash
from fleet.house import pace
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Reasons, Refusal
from fleet.house.signals import facts_changed
from fleet.models import User
from scheduling.models import Work, WorkDone
from scheduling.programme.said import subject_aircraft, subject_position, subject_unit
from scheduling.reckoning.recompute import aircraft_of, raise_unit_stamps

AT_ONCE = 5000
RESULTS = (("passed", "passed"), ("failed", "failed"))


@dataclass(frozen=True, slots=True)
class NewWork:
    """A work done on one unit, aircraft or position: give exactly one of the three.

    ``limit_code`` restricts it to one limit; else it restarts every limit that asks for this work
    or is reset by it. Totals are the subject's own at the work, in minutes and counts.
    ``corrects_id`` names the record that this one replaces, or withdraws (``is_annulment``).
    """

    work_id: int = coded("Work", Work, "code", "work", most=24, help="A work's code.")
    done_on: date = stamp("Done on", "precision", help="The day, or the month alone.")
    act_id: UUID = unsaid()
    unit_id: int | None = subject_unit(default=None)
    aircraft_id: int | None = subject_aircraft()
    position_id: int | None = subject_position()
    limit_code: str = text("Limit", 40, default="", help="Only this limit's; empty: all.")
    precision: str = "day"
    released_on: date | None = day("Released on", default=None)
    shop_released_on: date | None = day("Shop released on", default=None)
    original_due_on: date | None = day(
        "Original due on", default=None, help="If done inside the variation; blank: as recorded."
    )
    original_due_minutes: int | None = number(
        "Original due minutes", default=None, help="The subject's own total at which it was due."
    )
    original_due_cycles: int | None = number("Original due cycles", default=None)
    method: str = text("Method", 24, default="")
    total_minutes: int | None = number(
        "Minutes", default=None, help="The subject's own, at the work."
    )
    total_cycles: int | None = number("Cycles", default=None)
    result: str = choice("Result", RESULTS, default="", unchosen="Choose")
    who: str = text("Who", 80, default="")
    authorisation: str = text(
        "Authorisation", 40, default="", help="Its number: a licence's, or an approval's."
    )
    document: str = text("Document", 80, default="")
    certificate: str = text(
        "Certificate", 40, default="", help="Of release: the authorisation stands on it."
    )
    corrects_id: int | None = number(
        "Corrects", name="corrects", default=None, help="The record that this one replaces."
    )
    is_annulment: bool = yes_no("Withdrawn", help="The corrected record is withdrawn.")


def _subject(row: NewWork | WorkDone) -> tuple[int | None, int | None, int | None]:
    return row.unit_id, row.aircraft_id, row.position_id


def record_work(*, by: User, work: NewWork, at: datetime) -> Recorded:
    """This will record one work done, as somebody says it. Refuses as :func:`record_works` does, and one
    that does not say what came of it, or names nobody who did it, or neither a certificate of release nor
    the authorisation with a document (43.9(a), 43.11(a)): what restarts a clock is shown by somebody's
    paper. A withdrawal needs none of it.
    """
    if work.is_annulment:
        work = replace(work, result=work.result or _result_of(work.corrects_id))
    else:
        Reasons(why_unshown(work)).refuse()
    [made] = retry_after_clash(lambda: record_works(by=by, rows=[work], now=at))
    return Recorded(made.pk, made.recorded_at == at)


def _result_of(work_id: int | None) -> str:
    """What came of the work that is withdrawn; what is no work on record is refused later, by name."""
    rows = WorkDone.objects.filter(pk=work_id or 0).values_list("result", flat=True)
    return rows.first() or RESULTS[0][0]


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


class Shown(Protocol):
    """What is said of a work by whoever records it, on a form, by API or on a sheet's line."""

    @property
    def result(self) -> str: ...
    @property
    def who(self) -> str: ...
    @property
    def authorisation(self) -> str: ...
    @property
    def document(self) -> str: ...
    @property
    def certificate(self) -> str: ...


def why_unshown(said: Shown) -> list[Refusal]:
    """``missing`` of a work of which nobody says what came of it, of which nobody is named, or that no paper shows."""
    found = []

    def lacks(name: str) -> bool:
        return not str(getattr(said, name) or "").strip()

    if lacks("result"):
        found.append(Refusal("missing", "Say what came of it: passed or failed.", "result"))
    if lacks("who"):
        found.append(Refusal("missing", "Say who did the work: name or organisation.", "who"))
    if not lacks("certificate"):
        return found
    if lacks("authorisation"):
        words = "Give the authorisation that it was done under, or the certificate of release."
        found.append(Refusal("missing", words, "authorisation"))
    if lacks("document"):
        words = "Name the document or the certificate that shows it."
        found.append(Refusal("missing", words, "document"))
    return found


def not_shown_words(said: Shown) -> str:
    """Of a work that a sheet brought, what its history lacks: whoever did it, or a paper that shows it; empty if neither."""
    lacks = []
    if not said.who.strip():
        lacks.append("nobody is named who did it")
    if not (said.document.strip() or said.certificate.strip()):
        lacks.append("no paper is named that shows it")
    return ", ".join(lacks)


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
    units = {row.unit_id for row in rows if row.unit_id}
    # A unit that failed, or passes after it had failed, is a fact of all that is inside it.
    failures = WorkDone.objects.filter(unit__in=units, result="failed")
    failed = set(failures.values_list("unit", flat=True))
    units |= {one for inside in inside_now(failed).values() for one in inside} if failed else set()
    raise_unit_stamps(sorted(units))
    facts_changed.send(sender=record_works, unit_ids=sorted(units), aircraft_ids=aircraft_of(rows))


# --- declared ---------------------------------------------------------------------------------

RECORD_WORK = Act(
    name="record_work",
    does=record_work,
    said=NewWork,
    as_="work",
    id_in_row=True,
    tag="Programme",
    summary="Record a work done",
    description="Records that a work was done on one unit, aircraft or position. A correction or "
    "a withdrawal names the record that it corrects.",
    address="works-done",
    example={
        "act_id": "7d3a1f0e-1f1d-4d53-9a7e-0e8a5b2f7c21",
        "work": "overhaul",
        "unit": 512,
        "done_on": "2024-02-26",
        "shop_released_on": "2024-03-01",
        "document": "CMM 25-60-11",
        "certificate": "HS-20931",
        "who": "Harbour Slides",
        "result": "passed",
    },
)

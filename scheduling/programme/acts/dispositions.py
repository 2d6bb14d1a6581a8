"""What each unit's disposition is for a paragraph of a directive."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any

from django.db import transaction

from fleet.acts.act import Act
from fleet.acts.fields import Heading, choice, day, text
from fleet.acts.repeats import Recorded, differs, retry_after_clash
from fleet.house.desks import ask
from fleet.house.refusals import Reasons
from fleet.house.signals import facts_changed
from fleet.models import User
from scheduling.models import Disposition, Limit
from scheduling.programme.said import of_paragraph, subject_unit
from scheduling.reckoning.recompute import raise_unit_stamps

AT_ONCE = 5000
NEED_A_REASON = {Disposition.SORTS[0][0], "complied", "alternative"}


@dataclass(frozen=True, slots=True)
class NewDisposition:
    """What a unit's case is for one paragraph of a directive, from a day on."""

    limit_id: int = of_paragraph()
    unit_id: int = subject_unit()
    sort: str = choice(
        "Disposition",
        Disposition.SORTS,
        heading=Heading(
            "Disposition", "not applicable, open, complied, terminated or alternative means."
        ),
    )
    on: date = day("On", heading=Heading("On", "From this day on.", ("date", "from")))
    reason: str = text(
        "Reason", 200, default="", heading=Heading("Reason", "Why not applicable, or how complied.")
    )
    document: str = text("Document", 80, default="", heading=Heading("Document", "What says so."))


def disposition_directive(*, by: User, disposition: NewDisposition, at: datetime) -> Recorded:
    """This will record one disposition. Refuses as :func:`disposition_directives` does."""
    rows = [disposition]
    [made] = retry_after_clash(lambda: disposition_directives(by=by, rows=rows, now=at))
    return Recorded(made.pk, made.recorded_at == at)


@transaction.atomic
def disposition_directives(
    *, by: User, rows: Sequence[NewDisposition], now: datetime
) -> list[Disposition]:
    """This will record dispositions; one of the same paragraph, unit and day is left as it is.

    Refuses a limit that is no directive, an unknown sort, one that gives neither reason nor document
    where the case is closed, and another case than the one on record for that day.
    """
    ask(by, "disposition_directive")
    _refuse_dispositions(rows)
    there = {
        (one.limit_id, one.unit_id, one.on): one
        for one in Disposition.objects.filter(unit__in={row.unit_id for row in rows})
    }
    wanted = {(row.limit_id, row.unit_id, row.on): row for row in rows}
    first = {key: asdict(row) for key, row in wanted.items()}
    _refuse_another_case(rows, first | {key: vars(one) for key, one in there.items()})
    made = [
        Disposition(**asdict(row), recorded_at=now, recorded_by=by)
        for key, row in wanted.items()
        if key not in there
    ]
    Disposition.objects.bulk_create(made, batch_size=AT_ONCE)
    there |= {(one.limit_id, one.unit_id, one.on): one for one in made}
    touched = sorted({one.unit_id for one in made})
    raise_unit_stamps(touched)
    facts_changed.send(sender=disposition_directives, unit_ids=touched, aircraft_ids=[])
    return [there[row.limit_id, row.unit_id, row.on] for row in rows]


def _refuse_another_case(
    rows: Sequence[NewDisposition],
    held: Mapping[tuple[int, int, date], Mapping[str, Any]],
) -> None:
    reasons = Reasons()
    for row in rows:
        if differs(asdict(row), held[row.limit_id, row.unit_id, row.on]):
            message = "Another disposition is on record for this unit, paragraph and day. Give a later day."
            reasons.add("disposition_recorded", message, "on")
    reasons.refuse()


def _refuse_dispositions(rows: Sequence[NewDisposition]) -> None:
    reasons = Reasons()
    directives = set(
        Limit.objects.filter(pk__in={row.limit_id for row in rows}, is_directive=True).values_list(
            "pk", flat=True
        )
    )
    for row in rows:
        if row.limit_id not in directives:
            message = "Only a paragraph of a directive has dispositions. Name one."
            reasons.add("limit_no_directive", message, "limit")
        if row.sort not in dict(Disposition.SORTS):
            message = f"There is no disposition “{row.sort}”. Take one of: "
            reasons.add("unknown_disposition", message + ", ".join(dict(Disposition.SORTS)), "sort")
        elif row.sort in NEED_A_REASON and not (row.reason or row.document):
            message = "Say why it does not apply, or how it was done, or by which document."
            reasons.add("disposition_without_reason", message, "reason")
    reasons.refuse()


# --- declared ---------------------------------------------------------------------------------

DISPOSITION_DIRECTIVE = Act(
    name="disposition_directive",
    does=disposition_directive,
    said=NewDisposition,
    as_="disposition",
    known_by="the unit, paragraph and day",
    tag="Programme",
    summary="Record a disposition",
    description="Records what one unit's case is for one paragraph of a directive, from a day on. "
    "One of a unit, paragraph and day: what is on record for that day stays as it is.",
    address="dispositions",
    example={
        "programme": "MP-1",
        "limit": "AD-2027-01-A",
        "revision": "1",
        "unit": 512,
        "sort": "not_applicable",
        "on": "2027-03-03",
        "reason": "Serial number is not listed.",
    },
)

"""Extensions of limits, and what each unit's disposition is for a paragraph of a directive."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any

from django.db import transaction

from fleet.acts.repeats import differs
from fleet.house.desks import ask
from fleet.house.refusals import Reasons, Refusal
from fleet.house.signals import facts_changed
from fleet.models import User
from scheduling.models import Disposition, Extension, Limit
from scheduling.reckoning.recompute import aircraft_of, raise_unit_stamps

AT_ONCE = 5000
NEED_A_REASON = {Disposition.SORTS[0][0], "complied", "alternative"}


@dataclass(frozen=True, slots=True)
class NewExtension:
    """An approved, numbered, one-time allowance on a limit of one unit, aircraft or position."""

    programme_id: int
    limit_code: str
    number: str
    granted_on: date
    document: str
    approved_by: str
    unit_id: int | None = None
    aircraft_id: int | None = None
    position_id: int | None = None
    days: int = 0
    minutes: int = 0
    count: int = 0


@dataclass(frozen=True, slots=True)
class NewDisposition:
    """What a unit's case is for one paragraph of a directive, from a day on."""

    limit_id: int
    unit_id: int
    sort: str
    on: date
    reason: str = ""
    document: str = ""


def why_not_extend(rows: Sequence[NewExtension]) -> dict[int, list[Refusal]]:
    """Why extensions are refused, by their place: no such limit, one that cannot be extended or
    not that far, nothing extended, no one subject, or a number that was used before."""
    limits = _limits_by_code(rows)
    numbers = set(
        Extension.objects.filter(number__in=[row.number for row in rows]).values_list(
            "number", flat=True
        )
    )
    found: dict[int, list[Refusal]] = {}
    for index, row in enumerate(rows):
        reasons = Reasons()
        _check_shape(row, row.number in numbers, reasons)
        _check_limit(row, limits.get((row.programme_id, row.limit_code)), reasons)
        numbers.add(row.number)
        if reasons.found:
            found[index] = reasons.found
    return found


def _limits_by_code(rows: Iterable[NewExtension]) -> dict[tuple[int, str], list[Limit]]:
    found: dict[tuple[int, str], list[Limit]] = defaultdict(list)
    for limit in Limit.objects.filter(programme__in={row.programme_id for row in rows}):
        found[limit.programme_id, limit.code].append(limit)
    return found


def _check_shape(row: NewExtension, is_used: bool, reasons: Reasons) -> None:
    if is_used:
        message = f"An extension numbered {row.number} is recorded already. Give another number."
        reasons.add("extension_number_used", message, "number")
    if sum(key is not None for key in (row.unit_id, row.aircraft_id, row.position_id)) != 1:
        message = "An extension is of one unit, one aircraft or one position. Name one."
        reasons.add("extension_of_no_one_subject", message, "unit")
    amounts = (row.days, row.minutes, row.count)
    if min(amounts) < 0 or not any(amounts):
        message = "An extension extends something: give days, hours or cycles above nought."
        reasons.add("extension_of_nothing", message, "days")


def _check_limit(row: NewExtension, revisions: list[Limit] | None, reasons: Reasons) -> None:
    limit = _in_force(revisions or [], row.granted_on)
    if limit is None:
        message = f"This programme has no limit {row.limit_code} on that day. Give its code."
        reasons.add("unknown_limit", message, "limit")
        return
    if not limit.is_extendable:
        message = (
            f"Limit {limit.code} cannot be extended ({limit.document}, {limit.document_revision})."
        )
        reasons.add("limit_not_extendable", message, "limit")
        return
    for field, asked, most in (
        ("days", row.days, limit.extension_days_most),
        ("minutes", row.minutes, limit.extension_minutes_most),
        ("count", row.count, limit.extension_count_most),
    ):
        if most is not None and asked > most:
            message = f"Limit {limit.code} allows at most {most} {field}; {asked} are asked."
            reasons.add("extension_too_far", f"{message} Ask for less.", field)


def _in_force(revisions: list[Limit], day: date) -> Limit | None:
    held = [
        limit
        for limit in revisions
        if (limit.from_on is None or limit.from_on <= day)
        and (limit.until_on is None or limit.until_on >= day)
    ]
    return max(held, key=lambda limit: (limit.from_on or date.min, limit.pk), default=None)


@transaction.atomic
def grant_extensions(*, by: User, rows: Sequence[NewExtension], now: datetime) -> list[Extension]:
    """This will record extensions in their order. Refuses what :func:`why_not_extend` says."""
    ask(by, "grant_extension")
    reasons = Reasons([reason for found in why_not_extend(rows).values() for reason in found])
    reasons.refuse()
    made = [Extension(**asdict(row), recorded_at=now, recorded_by=by) for row in rows]
    Extension.objects.bulk_create(made, batch_size=AT_ONCE)
    units = sorted({row.unit_id for row in rows if row.unit_id})
    raise_unit_stamps(units)
    facts_changed.send(sender=grant_extensions, unit_ids=units, aircraft_ids=aircraft_of(rows))
    return made


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

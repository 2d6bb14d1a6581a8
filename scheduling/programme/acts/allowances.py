"""Extensions of limits: approved, numbered, one-time allowances."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime

from django.db import IntegrityError, transaction

from fleet.acts.act import Act
from fleet.acts.fields import Heading, day, text
from fleet.acts.fields import number as whole
from fleet.acts.repeats import Recorded, differs
from fleet.house.desks import ask
from fleet.house.refusals import Reasons, Refusal, Refused
from fleet.house.signals import facts_changed
from fleet.intake.columns import CODE, HOURS
from fleet.models import User
from scheduling.models import Extension, Limit
from scheduling.programme.said import of_programme, subject_aircraft, subject_position, subject_unit
from scheduling.reckoning.recompute import aircraft_of, raise_unit_stamps

AT_ONCE = 5000


@dataclass(frozen=True, slots=True)
class NewExtension:
    """An approved, numbered, one-time allowance on a limit of one unit, aircraft or position."""

    programme_id: int = of_programme()
    limit_code: str = text(
        "Limit",
        40,
        name="limit",
        help="The limit's code.",
        heading=Heading("Limit", "Code of the limit.", kind=CODE),
    )
    number: str = text(
        "Number", 40, heading=Heading("Number", "Number of the extension.", kind=CODE)
    )
    granted_on: date = day(
        "Granted on", heading=Heading("Granted on", "Day it was granted.", ("date",))
    )
    document: str = text("Document", 80, heading=Heading("Document", "The approval."))
    approved_by: str = text("Approved by", 80, heading=Heading("Approved by", "Who approved it."))
    unit_id: int | None = subject_unit(default=None)
    aircraft_id: int | None = subject_aircraft()
    position_id: int | None = subject_position()
    days: int = whole("Days", most=2**31 - 1, default=0, heading=Heading("Days"))
    minutes: int = whole("Minutes", default=0, heading=Heading("Hours", kind=HOURS))
    count: int = whole("Count", default=0, heading=Heading("Count", "Cycles or another count."))


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


def grant_extension(*, by: User, extension: NewExtension, at: datetime) -> Recorded:
    """This will record one extension; the very same again changes nothing. Refuses as
    :func:`grant_extensions` does."""
    try:
        [made] = grant_extensions(by=by, rows=[extension], now=at)
        return Recorded(made.pk)
    except (Refused, IntegrityError) as error:
        # the same sent twice at once clashes in the database, sent again it is refused
        if isinstance(error, Refused) and error.code != "extension_number_used":
            raise
        record = Extension.objects.filter(number=extension.number).first()
        if record is None or differs(asdict(extension), vars(record)):
            raise
        return Recorded(record.pk, is_new=False)


# --- declared ---------------------------------------------------------------------------------

GRANT_EXTENSION = Act(
    name="grant_extension",
    does=grant_extension,
    said=NewExtension,
    as_="extension",
    known_by="its number",
    tag="Programme",
    summary="Record an extension",
    description="Records an approved, one-time allowance on one limit of one subject. The same "
    "number with the same content again is the same act.",
    address="extensions",
    example={
        "programme": "MP-1",
        "limit": "SL-OH",
        "number": "EXT-2027-004",
        "granted_on": "2027-03-03",
        "unit": 512,
        "days": 14,
        "document": "MP-1 chapter 1.6",
        "approved_by": "C. Marsh",
    },
)

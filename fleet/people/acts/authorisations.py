"""Licences and company approvals: granted, and ended before their last day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import MISSING, asdict, dataclass, replace
from datetime import date, datetime

from django.db import connection, transaction

from fleet.acts.act import Act
from fleet.acts.fields import Heading, choice, coded, codes, day, number, text
from fleet.acts.repeats import Recorded
from fleet.house.desks import ask
from fleet.house.refusals import Reasons, Refused
from fleet.house.texts import refuse_blank, why_not_kept
from fleet.intake.columns import CODE
from fleet.models import AircraftType, Authorisation, AuthorisationEnd, Kind, User
from fleet.words.said import day_words

_GRANTING = 7_301_544_027
_LENGTHS = {"number": 40, "title": 80, "stamp": 24}


@dataclass(frozen=True, slots=True)
class NewAuthorisation:
    """What a person may sign, from a day to a last day. No types or kinds: any."""

    user_id: int = coded(
        "Person",
        User,
        "username",
        "person",
        name="person",
        most=150,
        help="The name to sign in with.",
        heading=Heading("Person", "The person's sign-in name.", ("user", "username")),
    )
    number: str = text(
        "Number", 40, heading=Heading("Number", "Number of the licence or approval.", kind=CODE)
    )
    sort: str = choice(
        "Kind",
        Authorisation.SORTS,
        heading=Heading("Kind", "licence or company approval.", ("sort",)),
    )
    acts: Sequence[str] = codes(
        "Acts",
        24,
        default=MISSING,
        choices=Authorisation.ACTS,
        heading=Heading("Acts", "sign_step, inspect, release."),
    )
    from_on: date = day("From", heading=Heading("From", "First day."))
    until_on: date = day(
        "Until",
        help="The last day on which it is good.",
        heading=Heading("Until", "Last day."),
    )
    title: str = text("Title", 80, default="", heading=Heading("Title", "Occupational title."))
    aircraft_types: Sequence[str] = codes(
        "Aircraft types", 24, items=100, heading=Heading("Aircraft types", "Codes; blank: any.")
    )
    kinds: Sequence[str] = codes(
        "Kinds of equipment",
        24,
        items=100,
        heading=Heading("Kinds of equipment", "Codes; blank: any.", ("kinds",)),
    )
    stamp: str = text("Stamp", 24, default="", heading=Heading("Stamp", "Number on the stamp."))


@dataclass(frozen=True, slots=True)
class EarlyEnd:
    """An authorisation ended before its last day; the same again is the same act."""

    authorisation_id: int = number("The authorisation", least=1, name="authorisation")
    ended_on: date = day("Ends on", help="The first day on which it is no longer good.")
    reason: str = text("Why", 120)


def grant_authorisation(*, by: User, authorisation: NewAuthorisation, at: datetime) -> Recorded:
    """This will put one authorisation on record. Refuses as :func:`grant_authorisations` does, at the
    fields themselves."""
    try:
        [granted] = grant_authorisations(by=by, rows=[authorisation], at=at)
    except Refused as refused:
        found = [replace(e, field=e.field and e.field.removeprefix("0.")) for e in refused.refusals]
        raise Refused.all_of(found) from refused
    return granted


@transaction.atomic
def grant_authorisations(
    *, by: User, rows: Sequence[NewAuthorisation], at: datetime
) -> list[Recorded]:
    """This will put authorisations on record, all or none; the same again changes nothing.

    Refuses, with the row's place before the field, an unknown person, act, type or kind, one that
    ends before it begins, and a number on record from that day with other contents.
    """
    ask(by, "enter_authorisation")
    _hold()
    reasons = Reasons()
    for place, row in enumerate(rows):
        _look_at(row, f"{place}.", reasons)
    reasons.refuse()
    return [_granted(place, row, by, at) for place, row in enumerate(rows)]


def _hold() -> None:
    """Two who send the same at once: one waits, and then finds it on record."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(%s)", [_GRANTING])


def _look_at(row: NewAuthorisation, at: str, reasons: Reasons) -> None:
    for name, most in _LENGTHS.items():
        blank = "Give the number of the licence or approval." if name == "number" else ""
        reasons.found += why_not_kept(getattr(row, name), at + name, most, blank)
    if not User.objects.filter(pk=row.user_id).exists():
        reasons.add(
            "unknown_person", "There is no such person: look the name up again.", f"{at}person"
        )
    if row.sort not in dict(Authorisation.SORTS):
        reasons.add("unknown_sort", "It is a licence or a company approval.", f"{at}sort")
    if row.until_on < row.from_on:
        reasons.add(
            "an_authorisation_lasts_at_least_a_day", "It ends before it begins.", f"{at}until_on"
        )
    _look_at_lists(row, at, reasons)


def _look_at_lists(row: NewAuthorisation, at: str, reasons: Reasons) -> None:
    acts = dict(Authorisation.ACTS)
    if not row.acts:
        reasons.add("missing", "Say what may be signed under it.", f"{at}acts")
    known = {
        "acts": set(acts),
        "aircraft_types": set(AircraftType.objects.values_list("code", flat=True)),
        "kinds": set(Kind.objects.values_list("code", flat=True)),
    }
    for name, there in known.items():
        for code in getattr(row, name):
            if code not in there:
                told = f"“{str(code)[:40]}” is not on record here. Check how it is written."
                reasons.add(f"unknown_{name.rstrip('s')}", told, at + name)


def _granted(place: int, row: NewAuthorisation, by: User, at: datetime) -> Recorded:
    lists = {name: list(getattr(row, name)) for name in ("acts", "aircraft_types", "kinds")}
    said = {**asdict(row), **lists}
    known = Authorisation.objects.filter(number=row.number, from_on=row.from_on).first()
    if known is None:
        made = Authorisation.objects.create(**said, recorded_at=at, recorded_by=by)
        return Recorded(made.pk)
    if any(getattr(known, name) != value for name, value in said.items()):
        words = "This number is on record from that day with other contents: check both."
        raise Refused("authorisation_on_record", words, f"{place}.number")
    return Recorded(known.pk, is_new=False)


@transaction.atomic
def end_authorisation(
    *, by: User, authorisation_id: int, ended_on: date, reason: str, at: datetime
) -> Recorded:
    """This will end an authorisation before its last day; ``ended_on`` is the first day without it.

    What was signed under it stays. Refuses an unknown one, no reason, a day outside its own, and
    one that ended on another day already; the same again changes nothing.
    """
    ask(by, "enter_authorisation")
    _hold()
    held = Authorisation.objects.filter(pk=authorisation_id).select_related("ended").first()
    if held is None:
        raise Refused("unknown_authorisation", "There is no such authorisation.", "authorisation")
    why = refuse_blank(reason, "Say why it ends.", "reason", 120)
    ended = getattr(held, "ended", None)
    if ended is not None:
        if (ended.ended_on, ended.reason) != (ended_on, why):
            words = f"It ended on {day_words(ended.ended_on)} already: {ended.reason}"
            raise Refused("authorisation_ended", words, "ended_on")
        return Recorded(ended.pk, is_new=False)
    if not held.from_on <= ended_on <= held.until_on:
        words = f"It is good from {day_words(held.from_on)} to {day_words(held.until_on)}: give a day of these."
        raise Refused("outside_its_days", words, "ended_on")
    made = AuthorisationEnd.objects.create(
        authorisation=held, ended_on=ended_on, reason=why, recorded_at=at, recorded_by=by
    )
    return Recorded(made.pk)


# --- declared ---------------------------------------------------------------------------------

GRANT_AUTHORISATION = Act(
    name="grant_authorisation",
    does=grant_authorisation,
    said=NewAuthorisation,
    as_="authorisation",
    who="enter_authorisation",
    known_by="its number and first day",
    tag="People",
    summary="Grant an authorisation",
    description="Puts a licence or company approval on record. It is checked when a person signs, "
    "and copied into the signature.",
    address="authorisations",
    example={
        "person": "c.marsh",
        "number": "QA-1187",
        "sort": "approval",
        "title": "Technician",
        "acts": ["sign_step"],
        "aircraft_types": ["TERN-200"],
        "kinds": ["door-slide"],
        "stamp": "47",
        "from_on": "2024-01-01",
        "until_on": "2025-12-31",
    },
)
END_AUTHORISATION = Act(
    name="end_authorisation",
    does=end_authorisation,
    said=EarlyEnd,
    who="enter_authorisation",
    known_by="the authorisation",
    tag="People",
    summary="End an authorisation",
    description="Ends an authorisation before its last day. What was signed under it stays.",
    address="authorisations/<int:authorisation_id>/end",
    in_address=("authorisation_id",),
    example={"ended_on": "2024-06-01", "reason": "Left the house."},
)

"""Telling several people of one thing, each as chosen, once; and others, where none of them looked."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from datetime import datetime

from django.db import transaction
from django.db.models import Count, Exists, Min, OuterRef, Q, Value
from django.db.models.functions import Concat

from equipment.models import Discrepancy, InspectorCall
from fleet.models import Notice, User
from fleet.people.acts.notices import tell
from scheduling.engine.basis.bands import Band
from scheduling.models import DueItem, MailChoice, Told

from ..sorts import CALL, OVERDUE, SETTLE, SORTS, Sort
from .sending import of_roles

#: So much is asked about at a time of what nobody looked at.
MOST = 200
UP = "up:"


def tell_all(
    sort: Sort, roles: Collection[str], said: tuple[str, str, str], at: datetime, but: int = 0
) -> int:
    """This will leave a notice with each person of these roles who wants this sort in the app or by mail. ``said``:
    the words, the link, and what it is about; ``but``: the person who caused it. Returns how many were told."""
    people = [person for person in of_roles(list(roles)) if person.pk != but]
    choices = {row.user_id: row for row in MailChoice.objects.filter(user__in=people)}
    told = 0
    for person in people:
        is_shown, is_mailed = _wanted(choices.get(person.pk), sort.code)
        if is_shown or is_mailed:
            _leave(person, sort, said, at, is_shown=is_shown)
            told += 1
    return told


def _wanted(choice: MailChoice | None, code: str) -> tuple[bool, bool]:
    if choice is None:
        return True, False
    return code not in choice.not_shown, choice.at_once and code not in choice.not_mailed


def _leave(
    person: User, sort: Sort, said: tuple[str, str, str], at: datetime, *, is_shown: bool
) -> None:
    words, link, about = said
    tell(to=person, words=words, link=link, at=at, sort=sort.code, about=about, is_shown=is_shown)


def fresh(keys: Iterable[str], at: datetime) -> list[str]:
    """This will keep that these were told; which of them were not yet. Asked for inside the round's transaction."""
    wanted = list(dict.fromkeys(keys))
    known = set(Told.objects.filter(key__in=wanted).values_list("key", flat=True))
    new = [key for key in wanted if key not in known]
    Told.objects.bulk_create([Told(key=key, told_at=at) for key in new], ignore_conflicts=True)
    return new


# --- where nobody looked ----------------------------------------------------------------------


@transaction.atomic
def escalate(at: datetime) -> int:
    """This will tell those who come next of what none of those who were told has read in time, once, as long as it
    still is so. Returns how many things were told on."""
    return sum(_escalate(sort, at) for sort in SORTS if sort.after is not None)


def _escalate(sort: Sort, at: datetime) -> int:
    assert sort.after is not None
    rows = Notice.objects.filter(sort=sort.code).exclude(about="").exclude(about__startswith=UP)
    was_told = Told.objects.filter(key=Concat(Value(UP), OuterRef("about")))
    waiting = (
        rows.order_by()
        .values("about")
        .annotate(read=Count("pk", filter=Q(read_at__isnull=False)), since=Min("at"))
        .filter(~Exists(was_told), read=0, since__lte=at - sort.after)
        .order_by("since", "about")
    )
    count = 0
    for row in list(waiting[:MOST]):
        about = UP + row["about"]
        fresh([about], at)
        first = rows.filter(about=row["about"]).order_by("pk").first()
        if first is not None and _still(sort.code, row["about"]):
            words = f"Nobody has looked at this yet. {first.words}"
            count += bool(tell_all(sort, sort.then, (words, first.link, about), at))
    return count


def _still(code: str, about: str) -> bool:
    """Whether what was told still waits for somebody."""
    asks = STILL.get(code)
    _, _, key = about.partition(":")
    return asks is None or not key.isdecimal() or asks(int(key))


def _call_waits(key: int) -> bool:
    return InspectorCall.objects.filter(
        pk=key, ended_at=None, coming_at=None, swap__end=None
    ).exists()


def _differs(key: int) -> bool:
    return Discrepancy.objects.filter(pk=key, settlement__isnull=True).exists()


def _is_overdue(key: int) -> bool:
    return DueItem.objects.filter(pk=key, band__lte=int(Band.OVERDUE)).exists()


STILL: Mapping[str, Callable[[int], bool]] = {
    CALL: _call_waits,
    SETTLE: _differs,
    OVERDUE: _is_overdue,
}

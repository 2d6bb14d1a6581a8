"""What a day's list brought, told to the controllers once: what became overdue, what fits no check, what is late."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction
from django.urls import reverse

from equipment.stores.reads.shop_loop import at_shops
from fleet.words.said import count_words
from scheduling.due.lists.rows import BANDS
from scheduling.due.since.told import Changed, Since, since_before
from scheduling.models import DayTold

from .. import sorts
from ..sorts import BY_CODE
from .telling import tell_all

#: So many of what changed are looked through for what must be told at once.
LOOKED = 500
OVERDUE, OUT_OF_PHASE = "overdue", "out-of-phase"
WORDS = dict(BANDS)


@transaction.atomic
def tell_of_day(day: date, at: datetime) -> int:
    """This will leave the notices of a day's list with each controller, once, however often it is asked."""
    _told, is_new = DayTold.objects.get_or_create(day=day, defaults={"told_at": at})
    if not is_new:
        return 0
    said = [*_of_list(since_before(day, LOOKED)), *_of_shops(day)]
    for code, words, link in said:
        sort = BY_CODE[code]
        tell_all(sort, sort.to, (words, link, f"{code}-{day.isoformat()}"), at)
    return len(said)


def _of_list(since: Since | None) -> list[tuple[str, str, str]]:
    if since is None:
        return []
    due = reverse("scheduling:due_list")
    rows = [*since.new, *since.moved]
    told = (
        (sorts.OVERDUE, OVERDUE, "became overdue"),
        (sorts.NO_CHECK, OUT_OF_PHASE, "fits no check any more"),
    )
    found = []
    for code, band, what in told:
        here = (band, WORDS[band])
        into = [each for each in rows if each.row.band == band and each.was_band not in here]
        if into:
            found.append((code, _words(into, what), f"{due}?band={band}"))
    return found


def _words(into: list[Changed], what: str) -> str:
    row = into[0].row
    unit = f" {row.part_number} S/N {row.serial_number}" if row.part_number else ""
    first = f"{row.registration or row.station} {row.position}{unit}, {row.work}"
    more = f" And {count_words(len(into) - 1)} more." if len(into) > 1 else ""
    return f"{first} {what}.{more}"


def _of_shops(day: date) -> list[tuple[str, str, str]]:
    """Orders whose promised day was yesterday."""
    late = [each for each in at_shops(day) if each.days_late == 1]
    if not late:
        return []
    first = late[0]
    more = f" And {count_words(len(late) - 1)} more." if len(late) > 1 else ""
    words = f"{first.unit} did not come back from {first.shop} on the day promised, order {first.number}.{more}"
    return [(sorts.SHOP, words, reverse("equipment:stores_shop"))]

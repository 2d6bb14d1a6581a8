"""What happened since the last round and must be told at once: calls, records to settle, overdue, nothing that fits."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from django.db import connection, transaction
from django.db.models import CharField, Exists, OuterRef, Value
from django.db.models.functions import Cast, Concat
from django.urls import reverse

from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.models import Discrepancy, InspectorCall, Movement
from fleet.words.said import count_words, day_words
from scheduling.allocation.reads.kept import current
from scheduling.engine.basis.bands import Band
from scheduling.models import DueItem, ProposedNeed, Told

from ..sorts import BY_CODE, CALL, NO_CHECK, NO_UNIT, OVERDUE, SETTLE
from .telling import fresh, tell_all

#: So far back a record may be and still be told as new; older ones stand on the lists.
LATELY = timedelta(days=2)
#: So far ahead a need without a unit is told at once.
AHEAD = timedelta(days=31)
#: So many new ones are looked at in one round; the others come with the next.
MOST = 500
#: Only one round at a time: the key of its lock.
LOCK = 1_717_003


@transaction.atomic
def tell_of_now(day: date, at: datetime) -> int:
    """This will tell what is new since the last round, each thing once. Returns how many notices' subjects there
    were. While another round is at it, this one does nothing."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_try_advisory_xact_lock(%s)", [LOCK])
        if not cursor.fetchone()[0]:
            return 0
    told = _calls(at) + _to_settle(at)
    told += _in_band(day, at, (OVERDUE, Band.OVERDUE, "became overdue", "overdue"))
    told += _in_band(
        day, at, (NO_CHECK, Band.OUT_OF_PHASE, "fits no check any more", "out-of-phase")
    )
    return told + _no_unit(day, at)


def _calls(at: datetime) -> int:
    rows = InspectorCall.objects.filter(ended_at=None, coming_at=None, swap__end=None)
    parts = ("step", "called_by", *(f"swap__place__{part}" for part in PLACE_PARTS))
    found = {f"call:{one.pk}": one for one in rows.select_related(*parts).order_by("pk")[:MOST]}
    new = fresh(found, at)
    for key in new:
        one = found[key]
        words = (
            f"{one.called_by.shown_name} calls an inspector to {place_words(one.swap.place)},"
            f" step {one.step.number}: {one.step.words}"
        )
        link = reverse("equipment:swap", args=[one.swap_id])
        sort = BY_CODE[CALL]
        tell_all(sort, sort.to, (words, link, key), at, but=one.called_by_id)
    return len(new)


def _to_settle(at: datetime) -> int:
    """Discrepancies and movements that do not conform: the first by name, the rest of the round counted."""
    rows = Discrepancy.objects.filter(settlement__isnull=True, found_at__gte=at - LATELY)
    parts = ("aircraft", *(f"place__{part}" for part in PLACE_PARTS))
    found = {f"settle:{one.pk}": one for one in rows.select_related(*parts).order_by("pk")[:MOST]}
    link = reverse("equipment:discrepancies")
    new = fresh(found, at)
    if new:
        one = found[new[0]]
        where = place_words(one.place) if one.place else str(one.aircraft or "")
        words = f"{where}: {one.get_sort_display()}. It waits to be settled.{_more(new)}"
        _tell(SETTLE, (words, link, new[0]), at)
    moved = Movement.objects.nonconforming().filter(recorded_at__gte=at - LATELY)
    odd = {f"odd:{one.pk}": one for one in moved.select_related("unit__part_number")[:MOST]}
    strange = fresh(odd, at)
    if strange:
        one_moved = odd[strange[0]]
        words = (
            f"{unit_words(one_moved.unit)}, {one_moved.get_sort_display()}: kept, and does not conform with the"
            f" records. It waits to be reconciled.{_more(strange)}"
        )
        _tell(SETTLE, (words, reverse("equipment:unit", args=[one_moved.unit_id]), strange[0]), at)
    return len(new) + len(strange)


def _in_band(day: date, at: datetime, what: tuple[str, Band, str, str]) -> int:
    """Items of aircraft that came into a band during the day: what the day's list began with is known already."""
    sort, band, verb, code = what
    head = f"{sort}-{day.isoformat()}:"
    rows = DueItem.objects.filter(band=int(band), aircraft__isnull=False)
    parts = ("aircraft", "position__type_position", "work", "unit__part_number")
    if not Told.objects.filter(key=f"{head}begun").exists():
        fresh([f"{head}begun", *(f"{head}{key}" for key in rows.values_list("pk", flat=True))], at)
        Told.objects.filter(key__startswith=f"{sort}-").exclude(key__startswith=head).delete()
        return 0
    # What was told is left out by the database: there may be many, and this is asked every half minute.
    known = Told.objects.filter(key=Concat(Value(head), Cast(OuterRef("pk"), CharField())))
    untold = rows.filter(~Exists(known)).order_by("pk").values_list("pk", flat=True)
    keys = {f"{head}{key}": key for key in untold[:MOST]}
    new = fresh(keys, at)
    if not new:
        return 0
    one = DueItem.objects.select_related(*parts).get(pk=keys[new[0]])
    unit = f" {unit_words(one.unit)}" if one.unit else ""
    where = one.position.type_position.code if one.position else ""
    words = f"{one.aircraft} {where}{unit}, {one.work.name} {verb}.{_more(new)}"
    _tell(sort, (words, f"{reverse('scheduling:due_list')}?band={code}", f"{sort}:{one.pk}"), at)
    return len(new)


def _no_unit(day: date, at: datetime) -> int:
    """Needs of the next weeks for which the kept proposal has no unit: those of the first proposal are known."""
    run = current()
    if run is None:
        return 0
    rows = ProposedNeed.objects.filter(run=run, unit=None, on__lte=day + AHEAD)
    found = {f"no_unit:{one.key}"[:160]: one for one in rows.order_by("on", "key")[:MOST]}
    if not Told.objects.filter(key="no_unit:begun").exists():
        fresh(["no_unit:begun", *found], at)
        return 0
    new = fresh(found, at)
    if new:
        one = found[new[0]]
        words = (
            f"Nothing fits {one.registration} {one.position} on {day_words(one.on)}: {one.off_words} comes off there"
            f" and no unit may replace it.{_more(new)}"
        )
        _tell(NO_UNIT, (words, reverse("scheduling:shortage"), new[0][:120]), at)
    return len(new)


def _tell(code: str, said: tuple[str, str, str], at: datetime) -> None:
    sort = BY_CODE[code]
    tell_all(sort, sort.to, said, at)


def _more(new: Sequence[str]) -> str:
    return f" And {count_words(len(new) - 1)} more." if len(new) > 1 else ""

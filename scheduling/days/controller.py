"""The controller's day: what stops a departure, what comes, what is short, late, and was recorded lately."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Model
from django.urls import reverse

from equipment.models import Movement, OpenItem, SwapEnd, UnitTag
from equipment.stores.reads.shop_loop import AtShop, at_shops
from fleet.aircraft.ports import Grounding, groundings_of
from fleet.models import Aircraft, UtilisationReading
from scheduling.allocation.reads.kept import current, is_stale
from scheduling.allocation.reads.shortage import FamilyShown, families_shown
from scheduling.due.since.told import Since, since_before
from scheduling.models import Limit, WorkDone

from .waiting import Waits, needs_without_unit, open_robberies, to_reconcile

#: How far ahead an open item's last day is a matter of today, and a month's shortage too.
SOON_DAYS = 7
SHORT_DAYS = 31
MOST = 12


@dataclass(frozen=True, slots=True)
class Stopped:
    """An aircraft that may not leave as it is: the gravest reason, and how many more there are."""

    registration: str
    reasons: Sequence[Grounding]

    @property
    def more(self) -> int:
        return len(self.reasons) - 1


@dataclass(frozen=True, slots=True)
class Recorded:
    """What was recorded since yesterday, of one sort: how many, by whom."""

    words: str
    count: int
    people: tuple[str, ...]
    href: str


@dataclass(frozen=True, slots=True)
class ControllersDay:
    """The lists of the day. ``has_plan``: units were matched to needs; ``is_stale``: facts changed since.
    ``since`` is what the due list says otherwise than the day before's (None: that was not kept). ``needs`` are
    removals of the next thirty days without a unit, ``robbed`` positions still empty, ``odd`` records to reconcile."""

    stopped: list[Stopped] = field(default_factory=list)
    ending: list[OpenItem] = field(default_factory=list)
    short: list[FamilyShown] = field(default_factory=list)
    late: list[AtShop] = field(default_factory=list)
    recorded: list[Recorded] = field(default_factory=list)
    has_plan: bool = False
    is_stale: bool = False
    since: Since | None = None
    needs: Waits = field(default_factory=Waits)
    robbed: Waits = field(default_factory=Waits)
    odd: Waits = field(default_factory=Waits)


def controllers_day(today: date, now: datetime) -> ControllersDay:
    """Everything of the day, a fixed number of questions beside what grounds aircraft."""
    run = current()
    return ControllersDay(
        stopped=_stopped(today),
        ending=_ending(today),
        short=[each for each in families_shown(run, 0) if _is_short(each, today)] if run else [],
        late=[each for each in at_shops(today) if each.is_late],
        recorded=_recorded(now),
        has_plan=run is not None,
        is_stale=bool(run and is_stale(run, today)),
        since=since_before(today, MOST),
        needs=needs_without_unit(run, today, MOST),
        robbed=open_robberies(MOST),
        odd=to_reconcile(MOST),
    )


def _stopped(today: date) -> list[Stopped]:
    found = groundings_of(None, today)
    names = dict(Aircraft.objects.filter(pk__in=found).values_list("pk", "registration"))
    stopped = [Stopped(names[key], why) for key, why in found.items() if key in names and why]
    return sorted(stopped, key=lambda each: each.registration)


def _ending(today: date) -> list[OpenItem]:
    items = OpenItem.objects.filter(closed=None, expires_on__lte=today + timedelta(days=SOON_DAYS))
    return list(items.select_related("aircraft").order_by("expires_on", "pk")[:MOST])


def _is_short(family: FamilyShown, today: date) -> bool:
    end = today + timedelta(days=SHORT_DAYS)
    return any(month.short for month in family.months if month.month <= end)


@dataclass(frozen=True, slots=True)
class Sort:
    """One sort of record: which table says when and by whom, in words, and where it is read."""

    model: type[Model]
    one: str
    many: str
    page: str
    at: str = "recorded_at"
    by: str = "recorded_by"


SORTS = (
    Sort(Movement, "movement", "movements", "equipment:unit_list"),
    Sort(SwapEnd, "swap ended", "swaps ended", "equipment:swap_list", at="at", by="by"),
    Sort(WorkDone, "work done", "works done", "scheduling:setting_up"),
    Sort(UnitTag, "tag", "tags", "equipment:unit_list"),
    Sort(UtilisationReading, "reading", "readings", "scheduling:hours"),
    Sort(Limit, "limit or revision", "limits or revisions", "scheduling:limits"),
)


def _recorded(now: datetime) -> list[Recorded]:
    return [one for sort in SORTS if (one := _recorded_of(now, sort)) is not None]


def _recorded_of(now: datetime, sort: Sort) -> Recorded | None:
    since: dict[str, Any] = {f"{sort.at}__gte": now - timedelta(days=1), f"{sort.at}__lte": now}
    rows = sort.model._default_manager.filter(**since)
    count = rows.count()
    if not count:
        return None
    names = rows.exclude(**{sort.by: None}).order_by()
    people = names.values_list(f"{sort.by}__username", flat=True).distinct()[:MOST]
    words = sort.one if count == 1 else sort.many
    return Recorded(words, count, tuple(sorted(people)), reverse(sort.page))

"""What waits for somebody on the line: their open swaps, what may be released, tonight's aircraft here."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime

from django.db.models import Count, Exists, OuterRef, Q
from django.urls import reverse

from equipment.models import Signature, StepEntry, Swap
from equipment.swaps.pages.list_rows import RELEASE, open_steps, waits_for
from equipment.swaps.pages.shown import SwapSteps
from fleet.aircraft.planned import not_over, planned_checks
from fleet.house.desks import may
from fleet.models import Check, User
from scheduling.engine.basis.bands import Band
from scheduling.models import DueItem

MOST = 20


@dataclass(frozen=True, slots=True)
class Job:
    """An open swap of one's own, or one that waits: what it is, how far it is, the one next act."""

    place: str
    title: str
    how_far: str
    act: str
    href: str
    station: str


@dataclass(frozen=True, slots=True)
class Standing:
    """An aircraft that stands here today: in which check or overnight stop, and what is asked of it."""

    registration: str
    check: str
    ends_on: date
    overdue: int
    before_next: int


@dataclass(frozen=True, slots=True)
class MyWork:
    """A person's own day. ``station`` is where they are at home; empty where nobody has said."""

    mine: list[Job] = field(default_factory=list)
    others: list[Job] = field(default_factory=list)
    to_release: list[Job] = field(default_factory=list)
    here: list[Standing] = field(default_factory=list)
    station: str = ""


def my_work(user: User, today: date, now: datetime) -> MyWork:
    """Everything that waits for this person on this day; a fixed number of questions."""
    station = user.home_station
    open_ones = open_steps()
    own = _own(user)
    mine = [each for each in open_ones if each.id in own]
    ready = [each for each in open_ones if waits_for(each) == RELEASE]
    is_here = [
        each
        for each in open_ones
        if each.id not in own and (station is None or each.swap.station_id == station.pk)
    ]
    return MyWork(
        mine=[_job(each) for each in mine],
        others=[_job(each) for each in is_here if each not in ready][:MOST],
        to_release=[_job(each) for each in ready] if may(user, "release_swap") else [],
        here=_standing(station.pk, today) if station else [],
        station=station.name if station else "",
    )


def _own(user: User) -> set[int]:
    """The open swaps that a person opened, took over or entered a step of."""
    entered = StepEntry.objects.filter(swap=OuterRef("pk"), entered_by=user)
    taken = Signature.objects.filter(swap=OuterRef("pk"), sort=Signature.TAKEN, by=user)
    found = Swap.objects.filter(
        Q(opened_by=user) | Q(Exists(entered)) | Q(Exists(taken)), end__isnull=True
    )
    return set(found.values_list("pk", flat=True))


def _job(shown: SwapSteps) -> Job:
    """``Go on`` where a step is next, else whatever it waits for."""
    place = f"{shown.registration} {shown.position_code}".strip()
    step = shown.next_row
    if step is not None:
        how_far = f"step {step.number} of {len(shown.rows)}"
        href = reverse("equipment:swap_step", args=[shown.id, step.number])
        act = "Go on" if any(row.entry for row in shown.rows) else "Begin"
    else:
        waits = waits_for(shown)
        how_far = f"waits for {waits}"
        page = "swap_release" if waits == RELEASE else "swap_sign" if shown.to_sign else "swap"
        href = reverse(f"equipment:{page}", args=[shown.id])
        act = {"swap_release": "To the release", "swap_sign": "Sign"}.get(page, "Open")
    return Job(place, shown.title, how_far, act, href, shown.swap.station.name)


def _standing(station_id: int, today: date) -> list[Standing]:
    """The aircraft that stand at a station today, the first to leave on top."""
    checks = planned_checks().filter(not_over(today), station=station_id, starts_on__lte=today)
    found = list(checks.select_related("aircraft").order_by("ends_on", "aircraft__registration"))
    keys = {each.aircraft_id for each in found}
    rows = DueItem.objects.filter(aircraft__in=keys, band__lte=Band.OUT_OF_PHASE).order_by()
    late = Count("pk", filter=Q(band__lte=Band.OVERDUE))
    early = Count("pk", filter=Q(band=Band.OUT_OF_PHASE))
    counted = rows.values_list("aircraft").annotate(late=late, early=early)
    counts = {aircraft: (late, early) for aircraft, late, early in counted}
    return [
        Standing(
            each.aircraft.registration,
            "overnight stop" if each.sort == Check.OVERNIGHT else f"check {each.name}",
            each.ends_on,
            *counts.get(each.aircraft_id, (0, 0)),
        )
        for each in found
    ]

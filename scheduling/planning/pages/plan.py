"""The plan: the fleet's checks on one line with what is done at each, and the list of one of them."""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import date
from typing import Any
from uuid import uuid4

import numpy as np
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from equipment.common.pages.person import person
from fleet.drawing.fleet_plan import Craft, Ground, Move, fleet_plan
from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.models import Aircraft, Check
from fleet.screens.filter_forms import FilterForm, filters_by, options_now
from scheduling.engine.basis.bands import Band
from scheduling.models import Work
from scheduling.placing.columns import State

from ..facts.fleet import FleetPlan, day_of, plan_of
from ..facts.ground import GroundTime
from ..facts.jobs import NOW
from ..reads.filters import USUAL, PlanAsked, aircraft_asked, until_asked
from ..reads.hangars import overfull_until
from ..reads.shown import jobs_shown, needing, saved_of

MOST_SHOWN = 100


@filters_by(PlanAsked)
class PlanForm(FilterForm):
    """Built over the query, so that a link reproduces the view."""


@require_safe
@reader
def plan(request: HttpRequest) -> HttpResponse:
    """The fleet's checks on one line, what fits none of them, and what was brought together."""
    form = PlanForm(request.GET or {"months": USUAL}, options_now(PlanAsked))
    day = today()
    context: dict[str, Any] = {"form": form, "today": day, "move_id": uuid4()}
    context["may_plan"] = may(person(request), "plan_works")
    context["may_check"] = may(person(request), "plan_check")
    if form.is_valid():
        asked: PlanAsked = form.asked()
        context |= _fleet(asked, day, may_move=context["may_check"])
    return render(request, "scheduling/planning/plan.html", context)


def _fleet(asked: PlanAsked, day: date, *, may_move: bool) -> dict[str, Any]:
    fleet, until = aircraft_asked(asked), until_asked(asked, day)
    is_narrowed = bool(asked.aircraft or asked.station)
    made = plan_of(day, [each.pk for each in fleet] if is_narrowed else None)
    needs = needing(made, until)
    named = {each.pk: each.registration for each in fleet}
    return {
        "plan": made,
        "drawn": fleet_plan(_drawn(made, needs, fleet, may_move), day, until),
        "needs": jobs_shown(made, needs[:MOST_SHOWN]),
        "needs_in_all": len(needs),
        "saved": saved_of(made, made.merged, named),
        "placed": int((made.placed.state <= State.TOGETHER).sum()),
        "beyond": int((made.placed.state == State.BEYOND).sum()),
        "bands": _bands(made),
        "overfull": overfull_until(day, until),
        "until": until,
        "is_narrowed": is_narrowed,
    }


def _bands(plan: FleetPlan) -> dict[str, int]:
    """How many jobs are to be done now or wait for a return, and items without a basis."""
    of_job = plan.items.of_jobs("band")
    return {
        "now": int(np.isin(of_job, [int(band) for band in NOW]).sum()),
        "parked": int((of_job == Band.BEFORE_RETURN).sum()),
        "unknown": int((plan.items.table["band"] == Band.NO_BASIS).sum()),
    }


def _drawn(plan: FleetPlan, needs: Any, fleet: list[Aircraft], may_move: bool) -> list[Craft]:
    named = dict(Work.objects.values_list("code", "name"))
    at = np.bincount(plan.placed.check[plan.placed.check >= 0], minlength=len(plan.times))
    ground: dict[int, list[Ground]] = defaultdict(list)
    for row, time in enumerate(plan.times):
        ground[time.aircraft_id].append(
            Ground(
                time.name,
                time.starts_on,
                time.ends_on,
                time.station,
                int(at[row]),
                reverse("scheduling:plan_check", args=[time.id]),
                time.is_overnight,
                time.slot,
                tuple(sorted(named.get(code, code) for code in time.able)),
                _move(time) if may_move and time.starts_on > plan.as_of else None,
            )
        )
    unmet: dict[int, dict[date, int]] = defaultdict(lambda: defaultdict(int))
    aircraft = plan.items.table["aircraft"][plan.first_items(needs)]
    for key, last in zip(aircraft.tolist(), plan.last_on[needs].tolist(), strict=True):
        if (day := day_of(last)) is not None:
            unmet[key][day] += 1
    rows, bands = plan.items.table, plan.items.of_jobs("band")
    now = Counter(
        rows["aircraft"][plan.items.first[np.isin(bands, [int(band) for band in NOW])]].tolist()
    )
    unknown = Counter(rows["aircraft"][rows["band"] == Band.NO_BASIS].tolist())
    return [
        Craft(
            each.registration,
            reverse("fleet:aircraft", args=[each.registration]),
            tuple(ground[each.pk]),
            tuple(sorted(unmet[each.pk].items())),
            now[each.pk],
            unknown[each.pk],
        )
        for each in fleet
    ]


def _move(time: GroundTime) -> Move:
    return Move(reverse("scheduling:check_change", args=[time.id]), time.station_id, time.people)


@require_safe
@reader
def plan_check(request: HttpRequest, check_id: int) -> HttpResponse:
    """What is done at one check: each job, why there, and how early."""
    rows = Check.objects.select_related("aircraft", "station")
    check = get_object_or_404(rows, pk=check_id)
    day = today()
    made = plan_of(day, [check.aircraft_id])
    at = {time.id: row for row, time in enumerate(made.times)}.get(check.pk)
    jobs = [] if at is None else jobs_shown(made, np.flatnonzero(made.placed.check == at))
    jobs.sort(key=lambda each: (each.access, each.row.position, each.row.inside, each.row.id))
    context = {
        "check": check,
        "today": day,
        "jobs": jobs,
        "is_over": check.ends_on < day,
        "plan": made,
        "saved": [
            one
            for one in saved_of(made, made.merged, {check.aircraft_id: check.aircraft.registration})
            if check.pk in [each.id for each in one.checks]
        ],
        "others": _others(made, check.pk),
        "records": check.records.select_related("station", "recorded_by").order_by("-pk")[:20],
        "may_plan": may(person(request), "plan_works"),
        "may_check": may(person(request), "plan_check"),
    }
    return render(request, "scheduling/planning/check.html", context)


def _others(plan: FleetPlan, check_id: int) -> list[Any]:
    """The aircraft's jobs that somebody must see to, whatever check one looks at."""
    return jobs_shown(plan, needing(plan, plan.as_of)[:MOST_SHOWN])

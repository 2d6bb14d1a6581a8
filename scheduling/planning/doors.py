"""The plan's doors for programs."""

from __future__ import annotations

from typing import Any

import numpy as np
from django.urls import path
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from fleet.aircraft.doors import aircraft_of
from fleet.doors.door import Door, found_or_missing
from fleet.doors.schema import described
from fleet.house.pages import today
from fleet.models import Check
from scheduling.facts.copying import Ints
from scheduling.placing.columns import State

from . import shapes
from .facts.fleet import FleetPlan, plan_of
from .reads.filters import PlanAsked, aircraft_asked, until_asked
from .reads.shown import jobs_shown, needing, saved_of


class Plan(Door):
    @described(
        tag="Plan",
        name="read_plan",
        summary="The plan in figures",
        description="Each check with how many jobs are done at it, how many fit none, and what was brought "
        "together. The same rule as the page's.",
        query=shapes.PlanQuery,
        answer=shapes.PlanShown,
        example=shapes.PLAN,
    )
    def get(self, request: Request) -> Response:
        asked: PlanAsked = PlanAsked(**self.asked(shapes.PlanQuery))
        day, fleet = today(), aircraft_asked(asked)
        is_narrowed = bool(asked.aircraft or asked.station)
        until = until_asked(asked, day)
        plan = plan_of(day, [each.pk for each in fleet] if is_narrowed else None)
        named = {each.pk: each.registration for each in fleet}
        at = np.bincount(plan.placed.check[plan.placed.check >= 0], minlength=len(plan.times))
        checks = [
            {**_fields(time), "registration": named.get(time.aircraft_id, ""), "jobs": int(at[row])}
            for row, time in enumerate(plan.times)
            if time.starts_on <= until
        ]
        shown = {
            "as_of": day,
            "until_on": until,
            "margin_days": plan.prices.margin_days,
            "placed": int((plan.placed.state <= State.TOGETHER).sum()),
            "needing": len(needing(plan, until)),
            "beyond": int((plan.placed.state == State.BEYOND).sum()),
            "checks": checks,
            "saved": saved_of(plan, plan.merged, named),
        }
        return Response(shapes.PlanShown(shown).data)


def _fields(time: Any) -> dict[str, Any]:
    names = ("id", "name", "is_overnight", "starts_on", "ends_on", "station")
    return {name: getattr(time, name) for name in names}


class PlanJobs(Door):
    @described(
        tag="Plan",
        name="list_plan_jobs",
        summary="Jobs of the plan",
        description="The jobs of one check or of one aircraft; without either all those that somebody must "
        "see to, because no check is in time for them.",
        query=shapes.JobsAsked,
        answer=shapes.JobPage,
        example={"next": None, "results": [shapes.JOB]},
    )
    def get(self, request: Request) -> Response:
        asked = self.asked(shapes.JobsAsked)
        plan, rows = _rows(asked)
        begin = _begin(asked.get("cursor", ""), len(rows))
        end = begin + asked["limit"]
        following = self.address_with(cursor=str(end)) if end < len(rows) else None
        shown = {"next": following, "results": jobs_shown(plan, rows[begin:end])}
        return Response(shapes.JobPage(shown).data)


def _rows(asked: dict[str, Any]) -> tuple[FleetPlan, Ints]:
    day = today()
    if check_id := asked.get("check"):
        words = f"There is no check {check_id}. See /api/v1/plan."
        check = found_or_missing(Check.objects.all(), "unknown_check", words, pk=check_id)
        plan = plan_of(day, [check.aircraft_id])
        at = [row for row, time in enumerate(plan.times) if time.id == check.pk]
        return plan, np.flatnonzero(np.isin(plan.placed.check, at))
    if asked.get("aircraft"):
        plan = plan_of(day, [aircraft_of(asked["aircraft"]).pk])
        return plan, np.arange(len(plan.jobs))
    plan = plan_of(day)
    return plan, needing(plan, day)


def _begin(cursor: str, number: int) -> int:
    if not cursor:
        return 0
    if not cursor.isascii() or not cursor.isdigit() or len(cursor) > 9 or int(cursor) > number:
        raise serializers.ValidationError(
            {"cursor": ["This cursor is not of this list. Begin without one, then follow `next`."]},
            "invalid_cursor",
        )
    return int(cursor)


urlpatterns = [
    path("v1/plan", Plan.as_view(), name="api-plan"),
    path("v1/plan/jobs", PlanJobs.as_view(), name="api-plan-jobs"),
]

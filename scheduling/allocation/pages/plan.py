"""The shortage month by month, and how many spares are enough."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from fleet.house.desks import may
from fleet.house.pages import reader, today
from scheduling.allocation.reads.float import chances_shown, floats_shown
from scheduling.allocation.reads.kept import current, is_stale
from scheduling.allocation.reads.removals import unplanned_by_kind
from scheduling.allocation.reads.shortage import SHOWN, families_shown
from scheduling.allocation.reads.to_own import to_own

from .allocation import person_of


@require_safe
@reader
def shortage(request: HttpRequest) -> HttpResponse:
    """In which month which family runs out, why, and what would cure it."""
    run = current()
    families = families_shown(run, SHOWN) if run else []
    context = {
        "run": run,
        "is_stale": bool(run and is_stale(run, today())),
        "may_decide": may(person_of(request), "reserve_unit"),
        "families": [family for family in families if family.short],
        "others": [family for family in families if not family.short],
    }
    return render(request, "scheduling/allocation/shortage.html", context)


@require_safe
@reader
def float_sizes(request: HttpRequest) -> HttpResponse:
    """The fewest spares of each family with their proof, and the figure for what nobody can plan."""
    run = current()
    families, chances = floats_shown(run) if run else [], chances_shown(unplanned_by_kind(today()))
    context = {
        "run": run,
        "is_stale": bool(run and is_stale(run, today())),
        "may_decide": may(person_of(request), "reserve_unit"),
        "families": families,
        "chances": chances,
        "to_own": to_own(families, chances),
    }
    return render(request, "scheduling/allocation/float.html", context)

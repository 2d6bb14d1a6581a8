"""What is there and what comes next."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from fleet.house.desks import may
from fleet.house.pages import reader
from fleet.moving_in.roles import roles_lacking
from scheduling.entries.records import RECORDS
from scheduling.entries.setting_up import bring_address, steps_open


@require_safe
@reader
def setting_up(request: HttpRequest) -> HttpResponse:
    """Every step of setting up with what is on record, the first open one as the next act."""
    steps = steps_open()
    context = {
        "steps": steps,
        "next": next((step for step in steps if step.is_open), None),
        "open": sum(step.is_open for step in steps),
        "bring": bring_address(),
        "may_bring": may(request.user, "load_sheets"),  # type: ignore[arg-type]
        "lacking": roles_lacking(request.user),  # type: ignore[arg-type]
        "records": [
            (f"scheduling:enter_{each.slug.replace('-', '_')}", each.kind.name) for each in RECORDS
        ],
    }
    return render(request, "scheduling/entries/setting_up.html", context)

"""What the doors of the plan need to stand there: a due item with a check in time, prices' parts and accesses,
and a draft with a change that can be done."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django.utils import timezone

from fleet.aircraft.acts.changes import ChangedCheck
from fleet.models import AircraftType, Check
from scheduling.drafts.kept import reach_written, written
from scheduling.entries.foretold.moves import Reach
from scheduling.models import Draft, DraftChange
from tests import builders as build
from tests.scheduling.planning import world as here


def is_of_the_plan(address: str) -> bool:
    return address.startswith("/api/v1/plan/")


def staged_plan() -> tuple[int, Callable[[Any], Any]]:
    """A check, and how the schema's example is made to be about what is there."""
    here.overhauls()
    aircraft = here.an_aircraft()
    unit = here.due_in(aircraft, "D1L-SLIDE", 104)
    check = here.a_check(aircraft, 100, "A2")
    here.reckoned()
    part, _ = build.a_part("HS-PRICED"), build.a_part("HS-ALSO-PRICED")
    AircraftType.objects.get_or_create(code="X", defaults={"name": "Another"})
    change = a_draft(check)
    ours = {
        "item": here.item_of(unit).pk,
        "check": check.pk,
        "part": part.pk,
        "aircraft_type": aircraft.aircraft_type.code,
        "access_group": "DOOR 1",
        "draft": change.draft_id,
        "change": change.pk,
        "station": aircraft.station.code,
        "moves": [{"check": check.pk, "starts_on": here.in_days(97).isoformat()}],
    }

    def about(body: Any) -> Any:
        if not isinstance(body, dict):
            return body
        # A draft is named by its number, or, where one is begun, by its name.
        return {
            name: value if name == "draft" and isinstance(value, str) else ours.get(name, value)
            for name, value in body.items()
        }

    return check.pk, about


def a_draft(check: Check, name: str = "Without the slot", days: int = 95) -> DraftChange:
    """A draft of one change: this check begins in so many days."""
    by, at = build.a_person("controller"), timezone.now()
    start = here.in_days(days)
    said = ChangedCheck(check.pk, check.name, start, start, check.station_id)
    draft = Draft.objects.create(name=name, made_at=at, made_by=by)
    return DraftChange.objects.create(
        draft=draft,
        act_id=uuid4(),
        act="change_check",
        said=written(said),
        reach=reach_written(Reach(aircraft_ids=(check.aircraft_id,))),
        words=check.name,
        kept_at=at,
        kept_by=by,
    )

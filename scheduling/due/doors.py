"""The due list's doors for programs."""

from __future__ import annotations

from datetime import date
from typing import Any

from rest_framework.request import Request
from rest_framework.response import Response

from equipment.units.doors.lists import unit_of
from fleet.doors.door import Door, Missing
from fleet.doors.schema import described
from fleet.house.pages import today
from scheduling.programme import examples

from . import due_list, shapes
from .since.told import since_before


def _page(door: Door, asked: dict[str, Any], unit_id: int | None = None) -> Response:
    as_of: date = asked.get("as_of") or today()
    page = due_list.due_page(
        filters=shapes.filters_of(asked, unit_id),
        as_of=as_of,
        mark=asked.get("cursor", ""),
        limit=asked["limit"],
    )
    shown = {
        "next": door.address_with(cursor=page.next_after) if page.next_after else None,
        "as_of": as_of,
        "counts": page.counts,
        "grounding": page.grounding,
        "results": page.rows,
    }
    return Response(shapes.DuePageShown(shown).data)


class DueItems(Door):
    @described(
        tag="Due list",
        name="list_due_items",
        summary="Due items",
        description="The due list as its page shows it: the same filters, the same order, any day.",
        query=shapes.DueAsked,
        answer=shapes.DuePageShown,
        example=examples.PAGE,
    )
    def get(self, request: Request) -> Response:
        return _page(self, self.asked(shapes.DueAsked))


class DueItemsOfUnit(Door):
    @described(
        tag="Units",
        name="list_due_items_of_unit",
        summary="Limits of one unit",
        description="The limits of one unit with what is left of each, most urgent first.",
        query=shapes.DueAsked,
        answer=shapes.DuePageShown,
        example=examples.PAGE,
    )
    def get(self, request: Request, unit_id: int) -> Response:
        return _page(self, self.asked(shapes.DueAsked), unit_of(unit_id).pk)


class DueItemExplained(Door):
    @described(
        tag="Due list",
        name="explain_due_item",
        summary="One due item explained",
        description="Rule, source, start, arithmetic, rounding, and the clocks that lost.",
        query=shapes.AsOfAsked,
        answer=shapes.ExplanationShown,
        example=examples.EXPLANATION,
    )
    def get(self, request: Request, item_id: int) -> Response:
        asked = self.asked(shapes.AsOfAsked)
        why = due_list.explanation(item_id=item_id, as_of=asked.get("as_of") or today())
        if why is None:
            raise Missing(
                "unknown_due_item",
                f"There is no due item {item_id}, or no more. Look it up in /api/v1/due-items.",
            )
        return Response(shapes.ExplanationShown(why).data)


class DueChanges(Door):
    @described(
        tag="Due list",
        name="list_due_changes",
        summary="What changed since the day before",
        description="Items that are new, gone or moved since the list of the day before, as the records said as "
        "that day's list was replaced; why, and by whose record. The same as on the page Today.",
        query=shapes.ChangesAsked,
        answer=shapes.ChangesShown,
        example=shapes.CHANGES,
    )
    def get(self, request: Request) -> Response:
        asked = self.asked(shapes.ChangesAsked)
        since = since_before(today(), asked.get("most", 50))
        if since is None:
            raise Missing(
                "no_list_before",
                "No list of the day before is kept, or today's is not made yet. It is kept as a day's list begins.",
            )
        return Response(shapes.ChangesShown(since).data)

"""Doors of the allocation for programs: the same reads and acts as its pages."""

from __future__ import annotations

from typing import Any

from rest_framework.request import Request
from rest_framework.response import Response

from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door, Missing
from fleet.doors.requests import act_request_of
from fleet.doors.schema import described
from fleet.house.pages import today
from scheduling.allocation.acts.decide import RULINGS
from scheduling.allocation.reads.float import chances_shown, floats_shown
from scheduling.allocation.reads.judged import judged, ranked
from scheduling.allocation.reads.kept import around, current, is_stale
from scheduling.allocation.reads.needs_page import needs_shown
from scheduling.allocation.reads.ordering import to_buy
from scheduling.allocation.reads.removals import unplanned_by_kind
from scheduling.allocation.reads.shortage import families_shown
from scheduling.allocation.reads.to_own import to_own
from scheduling.models import PairingRuling, ProposalRun, ProposedNeed

from . import examples, shapes

NOTHING = {
    "as_of": None,
    "until_on": None,
    "made_at": None,
    "is_stale": True,
    "needs": 0,
    "short": 0,
}


def _proposal(run: ProposalRun | None) -> dict[str, Any]:
    if run is None:
        return NOTHING
    names = ("as_of", "until_on", "made_at", "needs", "short")
    return {**{name: getattr(run, name) for name in names}, "is_stale": is_stale(run, today())}


class Needs(Door):
    @described(
        tag="Allocation",
        name="list_needs",
        summary="Needs with the units proposed",
        description="Every planned removal of the horizon with the unit proposed or set aside for it.",
        query=shapes.NeedsAsked,
        answer=shapes.NeedPage,
        example=examples.NEEDS,
    )
    def get(self, request: Request) -> Response:
        asked, run = self.asked(shapes.NeedsAsked), current()
        listed = needs_shown(run, shapes.wanted_of(asked), asked["page"]) if run else None
        shown = {
            "next_page": asked["page"] + 1 if listed and listed.has_more else None,
            "proposal": _proposal(run),
            "counts": listed.counts if listed else {},
            "results": listed.needs if listed else [],
        }
        return Response(shapes.NeedPage(shown).data)


class ProposalDoor(Door):
    @described(
        tag="Allocation",
        name="read_proposal",
        summary="The proposal that counts",
        description="As of when it was made, until when it reaches, and whether facts have changed since.",
        answer=shapes.ProposalShown,
        example=examples.PROPOSAL,
    )
    def get(self, request: Request) -> Response:
        return Response(shapes.ProposalShown(_proposal(current())).data)


class Why(Door):
    @described(
        tag="Allocation",
        name="explain_pairing",
        summary="Why, or why not, a unit for a need",
        description="Every reason for or against one unit, or every unit of the parts that may go there.",
        query=shapes.WhyAsked,
        answer=shapes.WhyShown,
        example=examples.WHY,
    )
    def get(self, request: Request) -> Response:
        asked = self.asked(shapes.WhyAsked)
        unit = asked.get("unit")
        at = around(_need(asked["need"]), [unit] if unit else [])
        key = at.key_of(unit) if unit else None
        if unit and key is None:
            raise Missing(
                "unit_not_offered",
                f"Unit {unit} is in no store or shop, and not planned to come off.",
            )
        able, unable = ranked(at) if key is None else ([judged(at, key)], [])
        units = [_judged(one) for one in (*able, *unable)]
        return Response(shapes.WhyShown({"need": at.need.key, "units": units}).data)


def _judged(one: Any) -> dict[str, Any]:
    names = ("offer", "sentences", "against", "cost", "taken_by")
    return {**{name: getattr(one, name) for name in names}, "may": one.cost is not None}


def _need(key: str) -> ProposedNeed:
    run = current()
    rows = ProposedNeed.objects.filter(run=run, key=key.replace("\x00", "")).select_related("run")
    row = rows.first() if run else None
    if row is None:
        raise Missing("unknown_need", "No such removal is planned. See /api/v1/allocation/needs.")
    return row


class Shortage(Door):
    @described(
        tag="Allocation",
        name="read_shortage",
        summary="Shortage month by month",
        description="Per family of parts: needs, on hand, coming back, short; each short need with its cures.",
        answer=shapes.ShortagePage,
        example=examples.SHORTAGE,
    )
    def get(self, request: Request) -> Response:
        run = current()
        shown = {"proposal": _proposal(run), "results": families_shown(run) if run else []}
        return Response(shapes.ShortagePage(shown).data)


class FloatSizes(Door):
    @described(
        tag="Allocation",
        name="read_float",
        summary="How many spares are enough",
        description="The fewest for what is planned, with the proof; Poisson's figure for the unforeseen; and by "
        "kind how many to own for both, with both parts.",
        answer=shapes.FloatPage,
        example=examples.FLOAT,
    )
    def get(self, request: Request) -> Response:
        run = current()
        planned, unforeseen = (
            floats_shown(run) if run else [],
            chances_shown(unplanned_by_kind(today())),
        )
        shown = {
            "proposal": _proposal(run),
            "planned": planned,
            "unforeseen": unforeseen,
            "to_own": to_own(planned, unforeseen),
        }
        return Response(shapes.FloatPage(shown).data)


class WhatToOrder(Door):
    @described(
        tag="Allocation",
        name="read_what_to_order",
        summary="What to order, and why",
        description="Per family of parts the least stock (the proven float), the reorder point with what nobody plans "
        "besides, what is good and what is coming, and how many lack.",
        answer=shapes.ToBuyPage,
        example=examples.TO_BUY,
    )
    def get(self, request: Request) -> Response:
        run = current()
        shown = {"proposal": _proposal(run), "results": to_buy(run, today()) if run else []}
        return Response(shapes.ToBuyPage(shown).data)


RulingSent = act_request_of(
    RULINGS[PairingRuling.ACCEPT], "RulingSent", "A decision about a need and a unit."
)

urlpatterns = [
    act_path(
        act, act_door(act, RulingSent, shapes.RulingShown, examples.RULING), f"api-{sort}-pairing"
    )
    for sort, act in RULINGS.items()
]

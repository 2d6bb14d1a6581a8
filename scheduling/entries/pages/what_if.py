"""What if a shop is late, what if a unit is out of use: told of the proposal of units and the due list, and done or
kept in a draft like any other change."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from equipment.availability.acts.holds import HOLD_UNITS
from equipment.common.wording import unit_words
from equipment.ledger.nesting import inside_now
from equipment.models import ShopOrder, Unit
from equipment.stores.acts.shops import NOTE_PROMISE
from equipment.stores.reads.shop_loop import promised_of
from fleet.house.pages import today
from fleet.offers.offer import Offer
from fleet.offers.page import About, Page
from fleet.words.said import day_words
from scheduling.entries.foretold.moves import Moves, Reach, foresee

TEMPLATE = "scheduling/entries/act.html"


def _of_order(request: HttpRequest, order_id: int) -> About:
    rows = ShopOrder.objects.select_related("unit__part_number")
    order = get_object_or_404(rows, pk=order_id)
    promised = promised_of(order)
    return About(
        given={"order_id": order.pk},
        subject=f"{unit_words(order.unit)} at {order.shop}, promised for {day_words(promised)}",
        starts={"promised_on": promised},
        back=reverse("equipment:stores_order", args=[order.pk]),
        back_label="The order",
    )


def _of_unit(request: HttpRequest, unit_id: int) -> About:
    unit = get_object_or_404(Unit.objects.select_related("part_number"), pk=unit_id)
    return About(
        given={"unit_id": unit.pk, "scope": "unit", "value": ""},
        subject=unit_words(unit),
        back=reverse("equipment:unit", args=[unit.pk]),
        back_label="Back to the unit",
    )


def _late(do: Callable[[], Any], about: About, typed: Any) -> list[Moves]:
    """A promise moves no due date: which units cover what is asked."""
    reach = Reach(unit_ids=(), aircraft_ids=(), with_spares=True)
    return foresee(do, reach, [today()], at=timezone.now())


def _without(do: Callable[[], Any], about: About, typed: Any) -> list[Moves]:
    units = tuple(inside_now([about.given["unit_id"]])[about.given["unit_id"]])
    return foresee(do, Reach(unit_ids=units, with_spares=True), [today()], at=timezone.now())


PROMISED = Offer(
    NOTE_PROMISE,
    None,
    Page(
        address="what-if/orders/<int:order_id>/",
        name="what_if_promise",
        heading="If the shop delivers on another day",
        lead="Which removals would be covered by which unit then, and which by none.",
        button="Note it as the shop's promise",
        done="The promise is noted.",
        about=_of_order,
        known=("order",),
        template=TEMPLATE,
        foresee=_late,
    ),
)
WITHOUT = Offer(
    HOLD_UNITS,
    None,
    Page(
        address="what-if/units/<int:unit_id>/",
        name="what_if_without",
        heading="Without this unit",
        lead="What would be covered by another unit, and what by none, were it held and not to be used.",
        button="Hold the unit",
        done="The unit is held.",
        about=_of_unit,
        known=("unit", "scope", "value"),
        template=TEMPLATE,
        stands_on="unit",
        foresee=_without,
    ),
)
OFFERS = (PROMISED, WITHOUT)

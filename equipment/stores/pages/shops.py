"""A unit goes to a shop, its promise is noted, it comes back."""

from __future__ import annotations

from collections.abc import Sequence

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from equipment.common.pages.desk import attempt_sent, redirect_with_message, unit_or_404
from equipment.common.pages.person import person
from equipment.common.wording import unit_words
from equipment.models import ShopOrder
from equipment.stores.acts.returns import return_from_shop
from equipment.stores.ports import NestedWork, nested_scope, works_named
from equipment.stores.reads import unit as store_units
from equipment.stores.reads.shop_loop import promised_of, scope_of_order
from fleet.house.pages import reader, today
from fleet.offers.page import About
from fleet.words.said import day_words

from .act_forms import ReturnForm, asked_works
from .parts import page

#: What falls due next, of the unit and all inside it, beside the works that can be asked for.
MOST_DUE = 6


def about_sending(request: HttpRequest, unit_id: int) -> About:
    """The unit that is sent, from where it is; with what falls due next."""
    unit = unit_or_404(unit_id)
    return About(
        given={"unit_id": unit.pk},
        subject=unit_words(unit),
        starts={"station": unit.place.station_id if unit.place else None},
        back=reverse("equipment:stores_unit", args=[unit.pk]),
        shown=lambda: {
            "unit": store_units.told(unit, today(), timezone.now()),
            "falls_due": _lines_of(nested_scope(unit.pk, [], today()))[:MOST_DUE],
        },
    )


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def stores_order(request: HttpRequest, order_id: int) -> HttpResponse:
    """A shop order as it stands; here its return is recorded."""
    order = get_object_or_404(ShopOrder.objects.select_related("station"), pk=order_id)
    form = ReturnForm(
        request.POST or None,
        request.FILES or None,
        initial={"returned_on": today(), "station": order.station_id} | asked_works(order.works),
    )
    made = attempt_sent(
        request,
        form,
        lambda: return_from_shop(
            by=person(request),
            back=form.back(order.pk),
            act_id=form.act,
            at=timezone.now(),
        ),
    )
    if made is not None:
        if made.how == "scrapped":
            words = "It is beyond repair: the order has ended and the unit is scrapped."
            return redirect_with_message(request, words, "equipment:stores_order", order.pk)
        return redirect_with_message(
            request, "The return is recorded.", "equipment:stores_received", order.unit_id
        )
    context = _order_context(order)
    return page(request, "equipment/stores/order.html", "return_from_shop", context, form)


def _order_context(order: ShopOrder) -> dict[str, object]:
    promised = promised_of(order)
    return {
        "order": order,
        "unit": store_units.told(unit_or_404(order.unit_id), today(), timezone.now()),
        "promised_on": promised,
        "promises": order.promises.select_related("recorded_by").order_by("-pk"),
        "days_late": max(0, (today() - promised).days),
        "ended": getattr(order, "returned", None),
        "beside": ShopOrder.objects.filter(shop=order.shop, number=order.number)
        .exclude(pk=order.pk)
        .select_related("unit__part_number", "returned")
        .order_by("pk"),
        "works": works_named(order.works),
        "scope": _scope_words(order),
    }


def _scope_words(order: ShopOrder) -> list[str]:
    """What else falls due, each as a line: which unit, which work, by when."""
    return _lines_of(scope_of_order(order))


def _lines_of(found: Sequence[NestedWork]) -> list[str]:
    names = works_named(each.work for each in found)
    return [
        f"{each.words}: {name}, due {day_words(each.due_on)} ({each.limit})"
        for each, name in zip(found, names, strict=True)
    ]


def about_shops(request: HttpRequest) -> About:
    """Any shop; one comes from what is at the shops."""
    return About(back=reverse("equipment:stores_shop"), back_label="At the shops")


def about_promise(request: HttpRequest, order_id: int) -> About:
    """The order of the address, whose shop is chased; 404 if there is none."""
    order = get_object_or_404(ShopOrder.objects.select_related("station"), pk=order_id)
    return About(
        given={"order_id": order.pk},
        starts={"promised_on": promised_of(order)},
        back=reverse("equipment:stores_order", args=[order.pk]),
        shown=lambda: {**_order_context(order), "heading": f"Chase {order.shop}"},
    )

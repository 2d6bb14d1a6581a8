"""A unit goes to a shop, its promise is noted, it comes back; and units are held while there is a doubt."""

from __future__ import annotations

from collections.abc import Sequence

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from equipment.availability import held as store_holds
from equipment.availability.acts.holds import END_HOLD, HOLD_UNITS, ClearedDoubt, NewHold
from equipment.common.pages.desk import attempt_sent, redirect_with_message, unit_or_404
from equipment.common.pages.person import person
from equipment.common.wording import unit_words
from equipment.models import Hold, ShopOrder
from equipment.stores.acts.returns import return_from_shop
from equipment.stores.acts.shops import NOTE_PROMISE, SEND_TO_SHOP, promised_of
from equipment.stores.ports import NestedWork, nested_scope, works_named
from equipment.stores.reads import unit as store_units
from equipment.stores.reads.shop_loop import scope_of_order
from fleet.house.pages import reader, today
from fleet.screens.act_forms import form_of
from fleet.screens.act_pages import performed
from fleet.words.said import day_words

from .act_forms import PromiseForm, ReturnForm, SendForm, asked_works
from .parts import page

#: What falls due next, of the unit and all inside it, beside the works that can be asked for.
MOST_DUE = 6

HoldForm = form_of(NewHold, without=["unit"], first=["scope", "value"])
EndHoldForm = form_of(ClearedDoubt, without=["hold"])


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def stores_send(request: HttpRequest, unit_id: int) -> HttpResponse:
    """A unit is sent to a shop under an order."""
    unit = unit_or_404(unit_id)
    station = unit.place.station_id if unit.place else None
    form = SendForm(request.POST or None, initial={"station": station, "sent_on": today()})
    made = performed(request, SEND_TO_SHOP, form, unit_id=unit.pk)
    if made is not None:
        words = f"{unit_words(unit)} is sent to {made.shop} under order {made.number}."
        return redirect_with_message(request, words, "equipment:stores_order", made.pk)
    context = {
        "unit": store_units.told(unit, today(), timezone.now()),
        "falls_due": _lines_of(nested_scope(unit.pk, [], today()))[:MOST_DUE],
        "heading": "Send it to a shop",
        "button": "It is sent",
    }
    return page(request, "equipment/stores/act.html", "send_to_shop", context, form)


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
            request, "It is back.", "equipment:stores_received", order.unit_id
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


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def stores_promise(request: HttpRequest, order_id: int) -> HttpResponse:
    """What the shop promises now, or what it answered."""
    order = get_object_or_404(ShopOrder.objects.select_related("station"), pk=order_id)
    form = PromiseForm(request.POST or None, initial={"promised_on": promised_of(order)})
    made = performed(request, NOTE_PROMISE, form, order_id=order.pk)
    if made is not None:
        return redirect_with_message(
            request, "The promise is noted.", "equipment:stores_order", order.pk
        )
    context = _order_context(order)
    more = {"heading": f"Chase {order.shop}", "button": "Note it"}
    return page(request, "equipment/stores/act.html", "note_promise", context | more, form)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def stores_holds(request: HttpRequest) -> HttpResponse:
    """What is held, and where a hold begins."""
    initial = {"value": request.GET.get("unit", "")[:80].replace("\x00", "")}
    form = HoldForm(request.POST or None, initial=initial)
    made = performed(
        request,
        HOLD_UNITS,
        form,
        lambda: {"unit_id": store_holds.unit_id_of(form.cleaned_data, today().year)},
    )
    if made is not None:
        held, fitted = len(made.unit_ids), len(made.fitted_ids)
        words = f"{held} units are held" if held != 1 else "One unit is held"
        shown = f"; {fitted} of them fitted, shown to the controller" if fitted else ""
        return redirect_with_message(request, f"{words}{shown}.", "equipment:stores_holds")
    return page(
        request,
        "equipment/stores/holds.html",
        "hold_units",
        {"holds": store_holds.open_holds()},
        form,
    )


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def stores_hold_end(request: HttpRequest, hold_id: int) -> HttpResponse:
    """The doubt is cleared, by which paper."""
    hold = get_object_or_404(Hold.objects.select_related("unit__part_number", "ended"), pk=hold_id)
    form = EndHoldForm(request.POST or None)
    made = performed(request, END_HOLD, form, hold_id=hold.pk)
    if made is not None:
        return redirect_with_message(request, "The hold has ended.", "equipment:stores_holds")
    context = {"hold": store_holds.told(hold), "heading": "End a hold", "button": "End the hold"}
    return page(request, "equipment/stores/act.html", "end_hold", context, form)

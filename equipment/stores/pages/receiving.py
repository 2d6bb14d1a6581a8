"""Receiving at the counter or by phone, and the incoming inspection that brings a unit to stock."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from equipment.common.pages.desk import attempt_sent, redirect_with_message, unit_or_404
from equipment.common.pages.person import person
from equipment.common.pages.proving import proof_of
from equipment.common.wording import unit_words
from equipment.stores.acts.facts import Receiving
from equipment.stores.acts.inspections import STATEMENT, inspect_incoming
from equipment.stores.acts.receiving import receive
from equipment.stores.ports import limit_starts
from equipment.stores.reads import scans
from equipment.stores.reads import unit as store_units
from fleet.house.pages import reader, today
from fleet.house.refusals import Refused

from .inspection_forms import InspectForm, ScanForm
from .parts import page
from .receipt_forms import ReceiveForm


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def stores_receive(request: HttpRequest) -> HttpResponse:
    """Scan or type; what was read is shown, and the rest is copied from the plate and the paper."""
    code = request.POST.get("scanned", "") or request.GET.get("code", "")
    read = scans.read(code, today())
    form = ReceiveForm(
        request.POST or None,
        request.FILES or None,
        initial=_initial(request, read, code),
    )
    received = attempt_sent(request, form, lambda: _received(request, form))
    if received is not None:
        request.session["stores_station"] = form.cleaned_data["station"].pk
        for words in received.bought:
            messages.info(request, words)
        return redirect("equipment:stores_received", received.lines[0].unit_id)
    context = {"read": read, "code": code, "scan": ScanForm(initial={"code": ""})}
    return page(request, "equipment/stores/receiving/receive.html", "receive_unit", context, form)


def _received(request: HttpRequest, form: ReceiveForm) -> Receiving:
    try:
        return receive(
            by=person(request), receipt=form.receipt(), act_id=form.act, at=timezone.now()
        )
    except Refused as refused:
        raise form.at_fields(refused) from refused


def _initial(request: HttpRequest, read: scans.Read | None, code: str) -> dict[str, Any]:
    """What the page begins with: what was read, today, and the station of the last receipt."""
    found: dict[str, Any] = {"received_on": today()}
    home = person(request).home_station_id
    found["station"] = request.session.get("stores_station") or home
    if read is not None:
        found |= {"part_number": read.part_number, "serial_number": read.serial_number}
        found["scanned"] = code if read.is_mark else ""
    return found


@require_safe
@never_cache
@reader
def stores_received(request: HttpRequest, unit_id: int) -> HttpResponse:
    """What became of a receipt: where the unit is, what it waits for, what each limit starts from."""
    unit = unit_or_404(unit_id)
    context = {
        "unit": store_units.told(unit, today(), timezone.now()),
        "starts": limit_starts(unit.pk, today()),
        "together": store_units.received_with(unit),
        "scan": ScanForm(),
    }
    return page(request, "equipment/stores/receiving/received.html", "inspect_incoming", context)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def stores_inspect(request: HttpRequest, unit_id: int) -> HttpResponse:
    """The incoming inspection: each question answered, the result signed with the password."""
    unit = unit_or_404(unit_id)
    form = InspectForm(request.POST or None, initial={"username": person(request).username})
    made = attempt_sent(
        request,
        form,
        lambda: inspect_incoming(
            proof=proof_of(request, form),
            inspection=form.inspection(unit.pk),
            act_id=form.act,
            at=timezone.now(),
        ),
    )
    if made is not None:
        words = f"{unit_words(unit)}: {made.get_result_display()}, signed by {made.name}."
        return redirect_with_message(request, words, "equipment:stores_unit", unit.pk)
    context = {
        "unit": store_units.told(unit, today(), timezone.now()),
        "starts": limit_starts(unit.pk, today()),
        "statement": STATEMENT,
    }
    return page(
        request, "equipment/stores/receiving/inspect.html", "inspect_incoming", context, form
    )

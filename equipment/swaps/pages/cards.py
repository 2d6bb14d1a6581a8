"""A swap that was done on a card, entered from its page."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache

from equipment.common import scanned
from equipment.common.pages.act import EITHER, PageWords, act_page
from equipment.common.pages.person import person
from equipment.models import Unit
from equipment.swaps.acts import FoundUnit
from equipment.swaps.acts.paper import Card, Ink, transcribe_swap
from equipment.swaps.pages.card_forms import CardForm
from equipment.swaps.pages.start import asked_of
from equipment.swaps.pages.units_meant import tag_of
from equipment.swaps.reads.start import StartShown, hold_points_at
from fleet.house.pages import reader, today
from fleet.screens.act_pages import attempt


@EITHER
@never_cache
@reader
def swap_paper_entry(request: HttpRequest) -> HttpResponse:
    """A swap that was done on a card at an outstation, entered in a minute."""
    start = asked_of(request.GET, today()).start
    if start is None:
        return redirect("equipment:swap_start")
    there = start.unit_off.words.replace(" S/N ", " ") if start.unit_off else ""
    form = CardForm(
        request.POST or None,
        request.FILES or None,
        initial={"happened_at": timezone.now(), "off_code": there},
        points=hold_points_at(start.place, _day(request)),
    )
    if request.method == "POST" and form.is_valid():
        card = _card(request, form, start)
        done = card and attempt(request, form, lambda: _transcribe(request, form, card))
        if done:
            return redirect("equipment:swap", swap_id=done.swap.pk)
    words = PageWords(
        "Enter a card",
        "What the card says, as it says it. The page with the ink is kept with it, and who entered it.",
        "Enter the card",
        f"/swaps/start/?{request.GET.urlencode()}",
        "Record it step by step instead",
        f"{start.registration} {start.position_code}",
    )
    return act_page(request, form, words, has_file=True)


def _transcribe(request: HttpRequest, form: CardForm, card: Card) -> Any:
    return transcribe_swap(by=person(request), card=card, act_id=form.act, at=timezone.now())


def _card(request: HttpRequest, form: CardForm, start: StartShown) -> Card | None:
    """The card, or None with its faults on the form."""
    given = form.cleaned_data
    station = start.station_id or person(request).home_station_id or 0
    off, on = _unit(form, "off_code"), _unit(form, "on_code")
    if form.errors:
        return None
    inspected = None
    if given["inspector"]:
        day = given["inspected_on"] or given["signed_on"]
        inspected = Ink(given["inspector"], given["inspector_stamp"], day)
    return Card(
        place=start.place,
        station_id=station,
        reference=given["reference"],
        reason=given["reason"],
        when=form.when,
        released=Ink(given["signer"], given["stamp"], given["signed_on"]),
        page=given["page"],
        off_id=off.pk if isinstance(off, Unit) else None,
        off_found=off if isinstance(off, FoundUnit) else None,
        off_to=form.place(station),
        tag=tag_of(form),
        on_id=on.pk if isinstance(on, Unit) else None,
        on_found=on if isinstance(on, FoundUnit) else None,
        inspected=inspected,
        minutes=given["hours"],
        cycles=given["cycles"],
        log_page=given["log_page"],
        is_confirmed=given["is_confirmed"],
        performed=given["performed"],
        steps=form.steps,
    )


def _day(request: HttpRequest) -> date:
    """The day of the work as the form has it, for its list of steps; today where it has none yet."""
    try:
        return datetime.fromisoformat(request.POST.get("happened_at", "")).date()
    except ValueError:
        return today()


def _unit(form: CardForm, name: str) -> Unit | FoundUnit | None:
    """The unit that a text means; one on no record as its plate reads; None where nothing is said."""
    text = form.cleaned_data[name].strip()
    if not text:
        return None
    found = scanned.units_of(text, today().year)
    if len(found) == 1:
        return found[0]
    if len(found) > 1:
        words = "Several units are meant by that: write the part number and the serial number."
        form.add_error(name, ValidationError(words, code="several_units"))
        return None
    said = text.split()
    if len(said) == 2:
        return FoundUnit(*said)
    words = "No unit is on record under that: write the part number, a space, the serial number."
    form.add_error(name, ValidationError(words, code="unknown_unit"))
    return None

"""Pages of what is done beside a swap: a card entered, a bottle filled or discharged, a tool reported."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.core.exceptions import ValidationError
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from equipment.availability.acts.fillings import record_discharge, record_filling
from equipment.common import scanned
from equipment.common.pages import page, person, tried
from equipment.common.wording import unit_words
from equipment.models import Tool, Unit
from equipment.procedures.acts.tools import report_tool
from equipment.swaps.acts import FoundUnit
from equipment.swaps.acts.paper import Card, Ink, transcribe_swap
from equipment.swaps.pages.start import asked_of
from equipment.swaps.pages.units_meant import tag_of
from equipment.swaps.reads.start import StartShown
from fleet.house.pages import reader, today

from .forms import CardForm, DischargeForm, FillingForm, ToolReportForm

EITHER = require_http_methods(["GET", "HEAD", "POST"])


@dataclass(frozen=True, slots=True)
class Words:
    """What a page of one act says: its heading, a sentence, the button, where it came from; of what it is."""

    heading: str
    lead: str
    button: str
    back: str
    back_label: str
    subject: str = ""


def act_page(request: HttpRequest, form: BaseForm, words: Words, **more: Any) -> HttpResponse:
    return page(request, "line_act", {"form": form, "words": words, **more}, form)


# --- paper ------------------------------------------------------------------------------------


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
    )
    if request.method == "POST" and form.is_valid():
        card = _card(request, form, start)
        done = card and tried(form, lambda: _transcribe(request, form, card))
        if done:
            return redirect("equipment:swap", swap_id=done.swap.pk)
    words = Words(
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
        inspected = Ink(given["inspector"], given["inspector_stamp"], given["signed_on"])
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
    )


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


# --- fillings, discharges, tools --------------------------------------------------------------


def _unit_or_404(unit_id: int) -> Unit:
    return get_object_or_404(Unit.objects.select_related("part_number"), pk=unit_id)


def _of_unit(unit: Unit, heading: str, lead: str, button: str) -> Words:
    return Words(heading, lead, button, f"/units/{unit.pk}/", "Back to the unit", unit_words(unit))


@EITHER
@never_cache
@reader
def unit_filling(request: HttpRequest, unit_id: int) -> HttpResponse:
    """Records that a bottle was filled; refused past its test or its life."""
    unit = _unit_or_404(unit_id)
    form = FillingForm(request.POST or None, initial={"done_on": today()})
    if request.method == "POST" and form.is_valid():
        use = form.use(is_empty=form.cleaned_data["is_empty"])
        done = tried(
            form,
            lambda: record_filling(
                by=person(request), unit_id=unit.pk, use=use, act_id=form.act, at=timezone.now()
            ),
        )
        if done is not None:
            return redirect("equipment:unit", unit_id=unit.pk)
    lead = "Each filling is counted. Past its test month a bottle may stay until emptied, but is not filled."
    return act_page(request, form, _of_unit(unit, "Record a filling", lead, "Record the filling"))


@EITHER
@never_cache
@reader
def unit_discharge(request: HttpRequest, unit_id: int) -> HttpResponse:
    """Records that a slide was inflated or a bottle discharged: to the shop before it is used again."""
    unit = _unit_or_404(unit_id)
    form = DischargeForm(request.POST or None, initial={"done_on": today()})
    if request.method == "POST" and form.is_valid():
        done = tried(form, lambda: _discharge(request, form, unit))
        if done is not None:
            return redirect("equipment:unit", unit_id=unit.pk)
    lead = "It is tagged unserviceable until the shop has had it, and what it was set aside for is freed."
    words = _of_unit(unit, "Record an inflation or discharge", lead, "Record it")
    return act_page(request, form, words)


def _discharge(request: HttpRequest, form: DischargeForm, unit: Unit) -> Any:
    given = form.cleaned_data
    return record_discharge(
        by=person(request),
        unit_id=unit.pk,
        use=form.use(),
        words=given["words"],
        act_id=form.act,
        at=timezone.now(),
        is_inflation=given["what"] == "inflation",
    )


@EITHER
@never_cache
@reader
def tool_report(request: HttpRequest, code: str) -> HttpResponse:
    """A tool is found out of tolerance, or dropped: every value it touched is told of."""
    tool = get_object_or_404(Tool, code__iexact=code)
    form = ToolReportForm(request.POST or None, initial={"found_on": today()})
    is_sent = request.method == "POST" and form.is_valid()
    if is_sent and tried(form, lambda: _report(request, form, tool)) is not None:
        return redirect("equipment:discrepancies")
    words = Words(
        "Report a tool",
        "Every value that it touched since its last good calibration is listed for the controller.",
        "Report it",
        "/tools/",
        "All tools",
        f"{tool.code}, {tool.description}",
    )
    return act_page(request, form, words)


def _report(request: HttpRequest, form: ToolReportForm, tool: Tool) -> Any:
    told = {name: form.cleaned_data[name] for name in ("sort", "found_on", "words")}
    return report_tool(
        by=person(request), tool=tool.code, act_id=form.act, at=timezone.now(), **told
    )

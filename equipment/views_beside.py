"""Pages of what is done beside a swap: a card entered, a position left open or robbed, a bottle filled."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from equipment.actions.fillings import record_discharge, record_filling
from equipment.actions.openings import open_item, rob_unit
from equipment.actions.swaps import FoundUnit
from equipment.actions.swaps.paper import Card, Ink, transcribe_swap
from equipment.actions.tools import report_tool
from equipment.ledger.facts import PlaceAt, When
from fleet.pages import reader, today

from . import scanned
from .forms_beside import (
    CardForm,
    DischargeForm,
    FillingForm,
    OpeningForm,
    RobberyForm,
    ToolReportForm,
)
from .models import Tool, Unit
from .start_pages import asked_of
from .start_reads import StartShown, start_of
from .swap_pages import swap_page
from .unit_pages import tag_of
from .views_swap_parts import others, page, person, swap_or_404, tried
from .wording import unit_words

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


def _act_page(request: HttpRequest, form: BaseForm, words: Words, **more: Any) -> HttpResponse:
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
    return _act_page(request, form, words, has_file=True)


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
        place=start.place, station_id=station, reference=given["reference"], reason=given["reason"],
        when=form.when, released=Ink(given["signer"], given["stamp"], given["signed_on"]),
        page=given["page"], off_id=off.pk if isinstance(off, Unit) else None,
        off_found=off if isinstance(off, FoundUnit) else None, off_to=form.place(station),
        tag=tag_of(form), on_id=on.pk if isinstance(on, Unit) else None,
        on_found=on if isinstance(on, FoundUnit) else None, inspected=inspected,
        minutes=given["hours"], cycles=given["cycles"], log_page=given["log_page"],
    )  # fmt: skip


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


# --- left open, robbed ------------------------------------------------------------------------


@EITHER
@never_cache
@reader
def swap_leave_open(request: HttpRequest, swap_id: int) -> HttpResponse:
    """Leaves the position of a swap open, by a document and until a day."""
    shown = swap_page(swap_or_404(swap_id))
    form = OpeningForm(request.POST or None, initial={"found_on": today()})
    if request.method == "POST" and form.is_valid():
        done = tried(
            form,
            lambda: open_item(
                by=person(request), opening=form.opening, act_id=form.act, at=timezone.now(),
                swap_id=swap_id,
            ),
        )  # fmt: skip
        if done is not None:
            return redirect("equipment:swap", swap_id=swap_id)
    context = {
        "swap": shown, "form": form, "others": others(request, shown.swap),
        "heading": "Leave the position open",
        "lead": "Nothing is fitted for now. The document that allows it, and the last day, go on the due list.",
        "button": "Leave it open",
    }  # fmt: skip
    return page(request, "swap_reason", context, form)


@EITHER
@never_cache
@reader
def swap_rob(request: HttpRequest, swap_id: int) -> HttpResponse:
    """Takes a unit off another aircraft for this swap; the donor's position is left open."""
    shown = swap_page(swap_or_404(swap_id))
    form = RobberyForm(request.POST or None, initial={"found_on": today(), "happened_on": today()})
    if request.method == "POST" and form.is_valid():
        donor = _donor(form)
        done = donor and tried(form, lambda: _rob(request, form, swap_id, *donor))
        if done:
            return redirect("equipment:swap", swap_id=swap_id)
    context = {
        "swap": shown, "form": form, "others": others(request, shown.swap),
        "heading": "Take a unit from another aircraft",
        "lead": "It is taken off there, lies in this station's store, and goes on here as any other."
        " The donor's position stays open by the document below.",
        "button": "Record the robbery",
    }  # fmt: skip
    return page(request, "swap_reason", context, form)


def _donor(form: RobberyForm) -> tuple[int, Unit] | None:
    """The donor's place and the unit there; None with the fault on the form."""
    positions = scanned.positions_of(form.cleaned_data["donor"])
    start = None
    if len(positions) == 1:
        start = start_of(PlaceAt("aircraft", aircraft_position_id=positions[0].pk), today())
    unit = Unit.objects.filter(
        place__aircraft_position=positions[0].pk if len(positions) == 1 else 0, merged_into=None
    ).first()
    if start is None or unit is None or unit.place_id is None:
        words = (
            "Name one position of one aircraft at which a unit is recorded, as: Q7-VAB D1L-SLIDE."
        )
        form.add_error("donor", ValidationError(words, code="unknown_place"))
        return None
    return unit.place_id, unit


def _rob(request: HttpRequest, form: RobberyForm, swap_id: int, place_id: int, unit: Unit) -> Any:
    given = form.cleaned_data
    at = timezone.now()
    moment = datetime.combine(given["happened_on"], time(), ZoneInfo("UTC"))
    # To the minute, as the pages of what came off and went on say it: the order is that of the record.
    minute = at.replace(second=0, microsecond=0)
    when = When(minute, "instant") if given["happened_on"] == at.date() else When(moment, "day")
    return rob_unit(
        by=person(request), for_swap_id=swap_id, donor_place=place_id, unit_id=unit.pk, when=when,
        opening=form.opening, act_id=form.act, at=at, log_page=given["log_page"],
    )  # fmt: skip


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
    return _act_page(request, form, _of_unit(unit, "Record a filling", lead, "Record the filling"))


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
    return _act_page(request, form, words)


def _discharge(request: HttpRequest, form: DischargeForm, unit: Unit) -> Any:
    given = form.cleaned_data
    return record_discharge(
        by=person(request), unit_id=unit.pk, use=form.use(), words=given["words"],
        act_id=form.act, at=timezone.now(), is_inflation=given["what"] == "inflation",
    )  # fmt: skip


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
    return _act_page(request, form, words)


def _report(request: HttpRequest, form: ToolReportForm, tool: Tool) -> Any:
    told = {name: form.cleaned_data[name] for name in ("sort", "found_on", "words")}
    return report_tool(
        by=person(request), tool=tool.code, act_id=form.act, at=timezone.now(), **told
    )

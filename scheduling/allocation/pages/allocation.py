"""Needs against units: the clerk looks, asks why and why not, and decides."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST, require_safe

from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.house.refusals import Refused
from fleet.models import Kind, Station, User
from scheduling.allocation.acts.decide import RULINGS
from scheduling.allocation.acts.make import make_proposal
from scheduling.allocation.reads.kept import current, is_stale, need_of
from scheduling.allocation.reads.needs_page import MOST_ASKED, NeedTold, need_told, needs_shown
from scheduling.models import OfferedUnit, PairingRuling, ProposalRun, ProposedNeed

from .forms import AllocationForm, RulingForm

#: Rows looked through for units that a person asks about.
MOST_ROWS = 300

SAID = {
    PairingRuling.ACCEPT: "{unit} is set aside for {need}.",
    PairingRuling.LOCK: "{unit} stays with {need} in every later proposal.",
    PairingRuling.FORBID: "{unit} is no longer proposed for {need}.",
    PairingRuling.FREE: "What was decided about {unit} for {need} is taken back.",
}


def person_of(request: HttpRequest) -> User:
    assert isinstance(request.user, User)
    return request.user


@require_safe
@reader
def allocation(request: HttpRequest) -> HttpResponse:
    """The needs of the horizon, and beside them the one that is looked at."""
    run = current()
    stations = [
        (code, code) for code in Station.objects.order_by("code").values_list("code", flat=True)
    ]
    kinds = list(Kind.objects.order_by("name").values_list("code", "name"))
    form = AllocationForm(request.GET, stations, kinds)
    may_decide = may(person_of(request), "reserve_unit")
    context: dict[str, Any] = {"form": form, "run": run, "may_decide": may_decide, "today": today()}
    if run is not None:
        context["is_stale"] = is_stale(run, today())
    if run is not None and form.is_valid():
        context |= _context(request, run, form)
    return render(request, "scheduling/allocation/allocation.html", context)


def _context(request: HttpRequest, run: ProposalRun, form: AllocationForm) -> dict[str, Any]:
    listed = needs_shown(run, form.wanted(), form.cleaned_data["page"] or 1)
    off = request.GET.get("off", "")[:40]
    row = need_of(run, off)
    is_asked, is_gone = bool(off), bool(off) and row is None
    if row is None and listed.needs:
        row = listed.needs[0].row
        row.run = run
    asked, said = _asked_units(run, request.GET.get("ask", ""))
    told = need_told(row, _number(request.GET.get("take", "")), asked) if row else None
    keys = [shown.row.off for shown in listed.needs]
    return {
        "listed": listed,
        "states": [
            (code, word, listed.counts[code], form.address(state=code, page=""))
            for code, word in (
                ("short", "short"),
                ("proposed", "proposed"),
                ("set_aside", "set aside"),
            )
        ],
        "all_href": form.address(state="", page=""),
        "query": form.address(),
        "told": told,
        "is_asked": is_asked,
        "is_gone": is_gone,
        "ask_fault": said,
        "act_id": uuid4(),
        "next_off": _after(keys, row.off) if row else None,
        "more_href": form.address(page=listed.page + 1) if listed.has_more else "",
        "back_href": form.address(page=listed.page - 1) if listed.page > 1 else "",
        **_choice_context(told),
    }


def _choice_context(told: NeedTold | None) -> dict[str, Any]:
    """Whether the unit looked at can be accepted now, or only be locked until it is in a store."""
    choice = told.choice if told else None
    can = bool(choice and choice.if_accepted)
    return {
        "can_accept": can and bool(choice and choice.is_in_store),
        "can_lock": can,
        "is_other": bool(choice and told and choice.unit.offer.unit_id != told.shown.row.unit_id),
    }


def _number(text: str) -> int | None:
    return int(text) if text.isdecimal() and len(text) < 19 and text.isascii() else None


def _after(keys: list[str], key: str) -> str | None:
    """The need below the one looked at; the one above where it is the last."""
    if key not in keys:
        return keys[0] if keys else None
    at = keys.index(key)
    return keys[at + 1] if at + 1 < len(keys) else None


def _asked_units(run: ProposalRun, text: str) -> tuple[list[int], str]:
    """Units that a person asks about by part or serial number, and a sentence where there is none."""
    text = text.strip()[:40].replace("\x00", "")
    if not text:
        return [], ""
    rows = OfferedUnit.objects.filter(run=run, words__icontains=text).order_by("words", "unit")
    # A lot is several rows, one for each need that it may serve.
    found = list(dict.fromkeys(rows.values_list("unit", flat=True)[:MOST_ROWS]))
    if not found:
        return [], (
            f"No unit “{text}” is in a store, at a shop, or planned to come off. Give its serial number."
        )
    if len(found) > MOST_ASKED:
        return found[
            :MOST_ASKED
        ], f"More than {MOST_ASKED} units are called “{text}”: give more of the number."
    return found, ""


@require_POST
@reader
def decide(request: HttpRequest) -> HttpResponse:
    """One decision; then the next need."""
    form, act = RulingForm(request.POST), RULINGS.get(request.POST.get("sort", ""))
    back = _back(request)
    if act is None or not form.is_valid():
        messages.error(request, "This decision could not be read. Take it again from the page.")
        return redirect(back)
    said = form.said(act_id=form.act)
    try:
        made = act.do(
            said, by=person_of(request), act_id=form.act, at=timezone.now(), today=today()
        )
    except Refused as refused:
        for refusal in refused.refusals:
            messages.error(request, refusal.message, extra_tags=refusal.code)
        return redirect(_here(request, said.need_key) or back)
    unit = made.unit
    words = SAID[made.sort].format(
        unit=f"{unit.part_number} S/N {unit.serial_number}", need=made.need_key
    )
    if made.unit_id != said.unit_id:
        words += " Its pieces are a lot of their own now: print its label."
    messages.success(request, words)
    return redirect(back)


def _back(request: HttpRequest) -> str:
    asked = request.POST.get("back", "")
    is_ours = url_has_allowed_host_and_scheme(asked, allowed_hosts=None) and asked.startswith("/")
    return asked if is_ours else reverse("scheduling:allocation")


def _here(request: HttpRequest, need: str) -> str:
    """The need itself, where the decision was refused."""
    run = current()
    rows = ProposedNeed.objects.filter(run=run, key=need.replace("\x00", ""))
    row = rows.first() if run else None
    return f"{reverse('scheduling:allocation')}?off={row.off}" if row else ""


@require_POST
@reader
def renew(request: HttpRequest) -> HttpResponse:
    """The proposal made anew now, for who does not want to wait for the job."""
    if not may(person_of(request), "reserve_unit"):
        messages.error(
            request, "Your role does not allow this. It is open to stores and controllers."
        )
    elif make_proposal(as_of=today(), at=timezone.now()) is None:
        messages.info(request, "The proposal is being made already: look again in a moment.")
    return redirect(_back(request))

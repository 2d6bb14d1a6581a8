"""What people do about a check's package: each act once, with the ways to it."""

from __future__ import annotations

from datetime import date

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from fleet.aircraft.planned import planned_checks
from fleet.models import Check
from fleet.offers.api import Api
from fleet.offers.offer import Offer
from fleet.offers.page import About, Page
from fleet.words.said import day_words, weekday_words
from scheduling.models import DueItem, PackageItem, WorkDone
from scheduling.programme.acts.works import RECORD_WORK

from .acts.carrying import CARRY_FORWARD
from .acts.closing import CLOSE_CHECK
from .acts.findings import NOTE_FINDING
from .acts.handing import HAND_OVER_PACKAGE, hangar_people
from .acts.on_aircraft import RECORD_AIRCRAFT_WORK
from .pages.forms import (
    CarryForm,
    FindingForm,
    HandOverForm,
    PaperForm,
    paper_meant,
    person_meant,
    to_meant,
)

BACK = "The package"
AIRCRAFT_LEAD = (
    "Do it by the approved data. It is recorded with who did it, under which authorisation, and the document that shows"
    " it; failed, it resets no clock, and the aircraft is grounded until it passes or a document lets it stay."
)
PAPER_LEAD = (
    "A work that is recorded from its paper: who did it, on which day, under which authorisation, and the document"
    " that shows it. Where a step list is in force, begin the work by it instead."
)


def _about(request: HttpRequest, check_id: int) -> About:
    check = get_object_or_404(Check.objects.select_related("aircraft", "station"), pk=check_id)
    return About(
        given={"check_id": check.pk},
        subject=f"{check.aircraft} {check.name}, {weekday_words(check.starts_on)} at {check.station.code}",
        back=reverse("scheduling:check_package", args=[check.pk]),
        back_label=BACK,
        starts={"positions": positions_of(check), "people": hangar_people()},
    )


def positions_of(check: Check) -> list[tuple[str, str]]:
    rows = check.aircraft.positions.order_by("type_position__code")
    return [(code, code) for code in rows.values_list("type_position__code", flat=True)]


def _item(item_id: int) -> PackageItem:
    rows = PackageItem.objects.select_related("check_planned__aircraft")
    return get_object_or_404(rows, pk=item_id)


def _about_item(request: HttpRequest, item_id: int) -> About:
    item = _item(item_id)
    check = item.check_planned
    due_on = DueItem.objects.filter(pk=item.due_item).values_list("due_on", flat=True).first()
    later = planned_checks().filter(aircraft=check.aircraft_id, starts_on__gt=check.starts_on)
    in_time = later.exclude(starts_on__gt=due_on) if due_on else later
    return About(
        given={"item_id": item.pk},
        subject=f"{check.aircraft} {check.name}, item {item.number}",
        lead=f"{item.words}.{_until(due_on)}",
        starts={
            "checks": [
                (str(each.pk), f"{each.name}, {weekday_words(each.starts_on)}")
                for each in in_time.order_by("starts_on", "pk")[:20]
            ]
        },
        back=reverse("scheduling:check_package", args=[check.pk]),
        back_label=BACK,
    )


def _about_paper(request: HttpRequest, item_id: int) -> About:
    """The works of the item, each as its record would name it; none of the aircraft's own, whose page also asks
    for the authorisation."""
    item = _item(item_id)
    check = item.check_planned
    return About(
        subject=f"{check.aircraft} {check.name}, item {item.number}",
        lead=f"{item.words}. {PAPER_LEAD}",
        starts={
            "works": [
                (
                    f"{work['code']} {work['subject'][0]} {work['subject'][1]} {work['limit']}",
                    name_of(work),
                )
                for work in item.works
                if not item.is_on_aircraft
            ]
        },
        back=reverse("scheduling:check_package", args=[check.pk]),
        back_label=BACK,
    )


def _about_aircraft(request: HttpRequest, item_id: int) -> About:
    """The one work of the item, with its limit and document."""
    item = _item(item_id)
    check = item.check_planned
    works = "; ".join(name_of(work) for work in item.works)
    return About(
        given={"item_id": item.pk},
        subject=f"{check.aircraft} {check.name}, item {item.number}",
        lead=f"{works}. {AIRCRAFT_LEAD}",
        back=reverse("scheduling:check_package", args=[check.pk]),
        back_label=BACK,
    )


def _aircraft_done(made: WorkDone) -> str:
    if made.result == "failed":
        return (
            "It is on record as failed: no clock runs anew, the item is not done, and the aircraft is grounded by it"
            " until it passes or a document lets it stay. Note what was found."
        )
    return "The work is on record, and its clock runs anew."


def _until(due_on: date | None) -> str:
    if due_on is None:
        return " Carrying it forward moves no limit."
    return f" Its last day is {weekday_words(due_on)}; carrying it forward moves no limit."


def name_of(work: dict[str, str]) -> str:
    return f"{work['work']} ({', '.join(filter(None, (work['limit'], work['document'])))})"


HAND_OVER = Page(
    address="plan/checks/<int:check_id>/package/hand-over/",
    name="package_hand_over",
    heading="Hand the package over",
    lead="As the plan is now, to somebody of the hangar by name, who is told at once. Done again, it adds what was"
    " placed at the check since.",
    button="Hand it over",
    done=lambda done: f"The package is with {done.made.to.shown_name}.",
    about=_about,
    form=HandOverForm,
    find=person_meant,
    template="scheduling/entries/act.html",
)
CARRY = Page(
    address="plan/package-items/<int:item_id>/carry-forward/",
    name="package_carry",
    heading="Carry forward",
    button="Carry it forward",
    done="It is carried forward.",
    about=_about_item,
    form=CarryForm,
    find=to_meant,
    template="scheduling/entries/act.html",
)
FINDING = Page(
    address="plan/checks/<int:check_id>/package/finding/",
    name="package_finding",
    heading="Note a finding",
    lead="What was found in the work. It grounds the aircraft, and keeps the check open, until it is settled.",
    button="Note it",
    done="The finding is noted.",
    about=_about,
    form=FindingForm,
    template="scheduling/entries/act.html",
)
PAPER = Page(
    address="plan/package-items/<int:item_id>/done-on-paper/",
    name="package_done",
    heading="Record it from its paper",
    button="Save the work",
    done="The work is on record, and its clock runs anew.",
    about=_about_paper,
    form=PaperForm,
    find=paper_meant,
    begins_today=("done_on",),
    template="scheduling/entries/act.html",
)
ON_AIRCRAFT = Page(
    address="plan/package-items/<int:item_id>/aircraft-work/",
    name="package_aircraft_work",
    heading="Record the work on the aircraft",
    button="Save the work",
    done=lambda done: _aircraft_done(done.made),
    about=_about_aircraft,
    known=("item",),
    begins_today=("done_on",),
    template="scheduling/entries/act.html",
)
CLOSE = Page(
    address="plan/checks/<int:check_id>/package/close/",
    name="package_close",
    heading="Close the check",
    lead="Every item is done or carried forward, and every finding settled: else what is left is named here, and the"
    " check stays open.",
    button="Close it",
    done=lambda done: f"Closed on {day_words(done.made.closed_on)}.",
    about=_about,
    known=("check",),
    template="scheduling/entries/act.html",
)

OFFERS: tuple[Offer, ...] = (
    Offer(
        HAND_OVER_PACKAGE, Api(sent="HandoverOfPackageSent", name="api-plan-handovers"), HAND_OVER
    ),
    Offer(CARRY_FORWARD, Api(sent="CarriedForwardSent", name="api-plan-carried"), CARRY),
    Offer(NOTE_FINDING, Api(sent="FindingNotedSent", name="api-plan-findings"), FINDING),
    Offer(CLOSE_CHECK, Api(sent="CheckClosingSent", name="api-plan-closing"), CLOSE),
    Offer(RECORD_WORK, None, PAPER),
    Offer(
        RECORD_AIRCRAFT_WORK,
        Api(sent="AircraftWorkSent", name="api-plan-aircraft-work"),
        ON_AIRCRAFT,
    ),
)

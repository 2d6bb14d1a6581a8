"""One unit in the stores: what it waits for, its bin, its tag, its late papers; and what is set aside."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from equipment.availability.acts.reservations import free_reservation
from equipment.common.pages.desk import attempt_sent, redirect_with_message, unit_or_404
from equipment.common.pages.person import person
from equipment.common.wording import unit_words
from equipment.models import PrintedTag, Reservation
from equipment.stores.acts.inside import NOTE_INSIDE
from equipment.stores.acts.issues import issue_unit
from equipment.stores.acts.late_papers import bring_paper
from equipment.stores.reads import unit as store_units
from equipment.units.printed import tags_to_bring_back
from fleet.house.pages import reader, today
from fleet.offers.page import About
from fleet.screens.act_pages import performed

from .act_forms import InsideForm, IssueForm
from .inspection_forms import LatePaperForm
from .parts import page


@require_safe
@never_cache
@reader
def stores_unit(request: HttpRequest, unit_id: int) -> HttpResponse:
    """A unit as the stores see it, with the one next act and the others."""
    unit = unit_or_404(unit_id)
    context = {
        "unit": store_units.told(unit, today(), timezone.now()),
        "prints": PrintedTag.objects.filter(unit=unit, back=None).order_by("-number"),
        "to_bring_back": tags_to_bring_back(today(), timezone.now(), unit_id=unit.pk),
    }
    return page(request, "equipment/stores/unit.html", "stow_unit", context)


def about_stored(request: HttpRequest, unit_id: int) -> About:
    """The unit as the stores see it; 404 if there is none."""
    unit = unit_or_404(unit_id)
    return About(
        given={"unit_id": unit.pk},
        subject=unit_words(unit),
        back=reverse("equipment:stores_unit", args=[unit.pk]),
        shown=lambda: {"unit": store_units.told(unit, today(), timezone.now())},
    )


def about_issued(request: HttpRequest, reservation_id: int) -> About:
    """What was issued, by its reservation; 404 if there is none."""
    held = get_object_or_404(Reservation, pk=reservation_id)
    about = about_stored(request, held.unit_id)
    name = unit_or_404(held.unit_id).place
    starts = {"bin": name.name if name else ""}
    back = reverse("equipment:stores_set_aside")
    return replace(about, given={"reservation_id": held.pk}, starts=starts, back=back)


def about_printed(request: HttpRequest, printed_id: int) -> About:
    """The unit that a tag was printed for; 404 if none was."""
    printed = get_object_or_404(PrintedTag, pk=printed_id)
    return replace(about_stored(request, printed.unit_id), given={"printed_id": printed.pk})


def about_tagged(request: HttpRequest, unit_id: int) -> About:
    """The same, tagged now unless another moment is said."""
    return replace(about_stored(request, unit_id), starts={"tagged_at": timezone.now()})


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def stores_inside(request: HttpRequest, unit_id: int) -> HttpResponse:
    """What is inside a unit, read off its plate and brought on record."""
    unit = unit_or_404(unit_id)
    shown = store_units.told(unit, today(), timezone.now())
    form = InsideForm(request.POST or None, inside=shown.inside)
    made = performed(request, NOTE_INSIDE, form, unit_id=unit.pk)
    if made is not None:
        words = f"{unit_words(made)} is recorded inside {unit_words(unit)}."
        return redirect_with_message(request, words, "equipment:stores_unit", unit.pk)
    context = {"unit": shown, "heading": "What is inside it", "button": "It is inside"}
    return page(request, "equipment/stores/inside.html", "receive_unit", context, form)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def stores_paper(request: HttpRequest, unit_id: int) -> HttpResponse:
    """A certificate that comes after its unit."""
    unit = unit_or_404(unit_id)
    form = LatePaperForm(request.POST or None, request.FILES or None)
    made = attempt_sent(
        request,
        form,
        lambda: bring_paper(
            by=person(request),
            unit_id=unit.pk,
            late=form.late(),
            act_id=form.act,
            at=timezone.now(),
            today=today(),
        ),
    )
    if made is not None:
        words = f"The certificate is recorded for {unit_words(unit)}."
        return redirect_with_message(request, words, "equipment:stores_unit", unit.pk)
    context = {"unit": store_units.told(unit, today(), timezone.now())}
    return page(request, "equipment/stores/paper.html", "record_certificate", context, form)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def stores_reservation(request: HttpRequest, reservation_id: int) -> HttpResponse:
    """A unit that is set aside is handed over, or freed."""
    held = get_object_or_404(Reservation, pk=reservation_id)
    unit = unit_or_404(held.unit_id)
    form = IssueForm(request.POST if request.method == "POST" else None)
    is_freed = "free" in request.POST

    def do() -> Reservation:
        facts: Any = {"by": person(request), "reservation_id": held.pk, "at": timezone.now()}
        if is_freed:
            return free_reservation(**facts)
        said = {name: form.cleaned_data[name] for name in ("to", "job", "decision")}
        return issue_unit(**said, **facts)

    made, word = attempt_sent(request, form, do), "free again" if is_freed else "issued"
    if made is not None:
        return redirect_with_message(
            request, f"{unit_words(unit)} is {word}.", "equipment:stores_reservation", held.pk
        )
    context = store_units.reservation_context(held.pk, unit, today(), timezone.now())
    return page(request, "equipment/stores/issue.html", "issue_unit", context, form)

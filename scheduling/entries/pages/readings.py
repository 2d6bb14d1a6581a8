"""The readings of one aircraft; one that is wrong is corrected or withdrawn by a later fact."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.intake.numbers import count_of, minutes_of
from fleet.intake.problems import CellProblem
from fleet.models import Aircraft, Measure, UtilisationReading
from fleet.offers.offer import Offer
from fleet.offers.page import About, Done, Page
from fleet.screens.act_forms import SaidForm, form_of
from fleet.utilisation.acts.readings import RECORD_READING, NewReading
from fleet.words.said import count_words, day_words, hours_words
from scheduling.entries.foretold.moves import Moves, Reach, foresee

MOST = 300


def total_words(reading: UtilisationReading) -> str:
    """A total as its measure counts it."""
    if reading.measure.unit == Measure.MINUTES:
        return f"{hours_words(reading.total)} h"
    return count_words(reading.total)


def aircraft_zone(aircraft: Aircraft) -> ZoneInfo:
    """Where it is based."""
    return ZoneInfo(aircraft.station.time_zone)


def read_on(reading: UtilisationReading, zone: ZoneInfo) -> date:
    """The day of a reading where its aircraft is based: a day alone is given by its end there."""
    return reading.read_at.astimezone(zone).date()


@require_safe
@reader
def readings(request: HttpRequest, registration: str) -> HttpResponse:
    """Totals as read, the latest first; those that were corrected or do not conform say so."""
    aircraft = get_object_or_404(
        Aircraft.objects.select_related("station"), registration=registration.upper()[:10]
    )
    zone = aircraft_zone(aircraft)
    rows = (
        UtilisationReading.objects.filter(aircraft=aircraft)
        .select_related("measure", "recorded_by", "corrected_by")
        .order_by("-read_at", "-pk")[:MOST]
    )
    context = {
        "aircraft": aircraft,
        "rows": [
            (row, read_on(row, zone), total_words(row), getattr(row, "corrected_by", None))
            for row in rows
        ],
        "may_correct": may(request.user, "record_reading"),  # type: ignore[arg-type]
    }
    return render(request, "scheduling/entries/readings.html", context)


class _Corrected(SaidForm):
    """The right total as a person writes it; hours or a count, as the measure says."""

    total = forms.CharField(label="The right total", max_length=40)

    def clean_total(self) -> int:
        """Minutes, or a count."""
        text = self.cleaned_data["total"]
        found = minutes_of(text) if self.initial.get("is_hours") else count_of(text)
        if isinstance(found, CellProblem):
            raise ValidationError(found.sentence, code=found.code)
        return int(found or 0)


_LEFT_OUT = ("measure", "read_at", "is_date_only", "corrects")


def _about(request: HttpRequest, reading_id: int) -> About:
    one = get_object_or_404(
        UtilisationReading.objects.select_related("measure", "aircraft__station"), pk=reading_id
    )
    return About(
        given={
            "aircraft_id": one.aircraft_id,
            "measure_id": one.measure_id,
            "read_at": one.read_at,
            "is_date_only": one.is_date_only,
            "corrects_id": one.pk,
        },
        subject=f"{one.aircraft.registration}: {total_words(one)} {one.measure.name},"
        f" read on {day_words(read_on(one, aircraft_zone(one.aircraft)))}",
        starts={
            "total": total_words(one).removesuffix(" h"),
            "source": one.source,
            "is_hours": one.measure.unit == Measure.MINUTES,
        },
        back=reverse("scheduling:readings", args=[one.aircraft.registration]),
        back_label="All readings",
    )


def _moved(do: Callable[[], Any], about: About, typed: Any) -> list[Moves]:
    return foresee(do, Reach(aircraft_ids=(about.given["aircraft_id"],)), [today()])


def _done(done: Done) -> str:
    """That it counts; or why it does not."""
    row = UtilisationReading.objects.get(pk=done.made.id)
    if row.is_conforming:
        return "The reading is corrected."
    return f"It is kept, and counted by nobody: {' '.join(row.reasons)} Correct one of them."


CORRECTED = Offer(
    RECORD_READING,
    None,
    Page(
        address="hours/readings/<int:reading_id>/correct/",
        name="reading_correct",
        heading="Correct a reading",
        lead="The wrong one stays on record, and this one counts. Withdrawn: none counts.",
        button="Save the correction",
        done=_done,
        about=_about,
        form=form_of(NewReading, without=_LEFT_OUT, first=("total",), base=_Corrected),
        template="scheduling/entries/act.html",
        foresee=_moved,
    ),
)
OFFERS = (CORRECTED,)

"""What people do about the complement: the act once, with the ways to it."""

from __future__ import annotations

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from fleet.aircraft.doors import aircraft_of
from fleet.models import Aircraft
from fleet.offers.api import Api
from fleet.offers.offer import Offer
from fleet.offers.page import About, Page

from . import doors
from .acts.cabins import STATE_CABIN


def about_aircraft(request: HttpRequest, registration: str) -> About:
    """The aircraft of the address, in any case; 404 if there is none."""
    asked = registration.replace("\x00", "")
    aircraft = get_object_or_404(Aircraft, registration__iexact=asked)
    return About(
        given={"aircraft_id": aircraft.pk},
        subject=aircraft.registration,
        back=reverse("fleet:aircraft", args=[aircraft.registration]),
        back_label="Back to the aircraft",
    )


CABIN = Page(
    address="aircraft/<str:registration>/cabin/",
    name="aircraft_cabin",
    heading="State the cabin",
    lead="Seats, people and overwater flying decide how many extinguishers, vests and rafts are asked for.",
    button="State it",
    done="The cabin is stated.",
    about=about_aircraft,
    begins_today=("from_on",),
)

OFFERS = (
    Offer(
        STATE_CABIN,
        Api(
            sent="CabinSent",
            shows=doors.CabinShown,
            example=doors.CABIN,
            base=doors.CabinList,
            ways={"look_up": aircraft_of, "find": doors.of_aircraft},
        ),
        CABIN,
    ),
)

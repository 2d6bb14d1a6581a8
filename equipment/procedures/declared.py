"""What people do about procedures, beside the doors and sheets that bring whole lists."""

from __future__ import annotations

from django.http import HttpRequest
from django.urls import reverse

from equipment.procedures.acts.beginning import BEGIN_STEP_LIST
from equipment.procedures.general import GENERAL
from fleet.house.pages import today
from fleet.offers.offer import Offer
from fleet.offers.page import About, Page


def about_beginning(request: HttpRequest) -> About:
    """The kind that the address asks for, if it does; what the list would hold."""
    return About(
        starts={"kind": request.GET.get("kind", "")[:32], "from_on": today(), "revision": "1"},
        back=reverse("equipment:step_lists"),
        back_label="Step lists",
        shown=lambda: {"general": GENERAL},
    )


BEGUN = Page(
    address="step-lists/new/",
    name="step_list_new",
    heading="Begin a step list",
    lead="A list of general steps, so that changes can be recorded from the first day. Your approved data governs:"
    " bring its own steps as the next revision.",
    button="Begin the list",
    done="The list is on record.",
    about=about_beginning,
    then=lambda done: reverse("equipment:step_list", args=[done.made.id]),
    template="equipment/procedures/begin.html",
)
#: Programs send whole lists of their own.
OFFERS = (Offer(BEGIN_STEP_LIST, None, BEGUN),)

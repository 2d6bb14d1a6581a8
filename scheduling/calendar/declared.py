"""What people do about their calendar: each act once, with the ways to it."""

from __future__ import annotations

from django.http import Http404, HttpRequest
from django.urls import reverse

from equipment.common.pages.person import person
from fleet.offers.offer import Offer
from fleet.offers.page import About, Done, Page
from scheduling.models import CalendarAddress

from .acts.addresses import MAKE_ADDRESS, WITHDRAW_ADDRESS

TEMPLATE = "scheduling/entries/act.html"
BACK = "Your calendars"


def _about(request: HttpRequest) -> About:
    return About(back=reverse("scheduling:calendars"), back_label=BACK)


def _about_one(request: HttpRequest, address_id: int) -> About:
    row = CalendarAddress.objects.filter(user=person(request), pk=address_id).first()
    if row is None:
        raise Http404("You have no such address.")
    return About(
        given={"address_id": row.pk},
        subject=row.label,
        lead="Calendars that read from it get nothing any more.",
        back=reverse("scheduling:calendars"),
        back_label=BACK,
    )


def _made(done: Done) -> str:
    if not done.made.secret:
        return "This address was made before; its secret was shown then."
    path = reverse("scheduling:calendar_feed", args=[done.made.secret])
    return f"Copy it now, it is not shown again: this house's address, then {path}"


MAKE = Page(
    address="calendars/new/",
    name="calendar_new",
    heading="A calendar's address",
    lead="Whoever has the address reads the checks and due dates in a calendar, without a password. It is shown once;"
    " withdraw it when it is not needed any more.",
    button="Make it",
    done=_made,
    about=_about,
    template=TEMPLATE,
)
WITHDRAW = Page(
    address="calendars/<int:address_id>/withdraw/",
    name="calendar_withdraw",
    heading="Withdraw a calendar's address",
    button="Withdraw it",
    done="The address is withdrawn.",
    about=_about_one,
    known=("address",),
    template=TEMPLATE,
)
OFFERS: tuple[Offer, ...] = (
    Offer(MAKE_ADDRESS, None, MAKE),
    Offer(WITHDRAW_ADDRESS, None, WITHDRAW),
)

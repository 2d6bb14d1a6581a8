"""Splitting a lot: the act with the ways to it. The other acts of the room write out their doors."""

from __future__ import annotations

from django.http import HttpRequest
from django.urls import reverse
from django.utils import timezone

from equipment.common.pages.about import about_unit
from equipment.units.acts.lots import SPLIT_LOT
from fleet.offers.api import Api, api_path
from fleet.offers.page import About, Page, page_path


def about_lot(request: HttpRequest, unit_id: int) -> About:
    """The lot of the address; 404 if there is none."""
    about = about_unit(request, unit_id)
    return About(
        given={"lot_id": about.given["unit_id"]},
        subject=about.subject,
        starts={"happened_at": timezone.now()},
        back=about.back,
        back_label=about.back_label,
    )


SPLIT = Page(
    address="units/<int:unit_id>/split/",
    name="unit_split",
    heading="Split this lot",
    lead="They stay where they are, under a number of their own; the rest stays this lot.",
    button="Split it",
    done="The new lot is recorded.",
    about=about_lot,
    known=("lot",),
    then=lambda done: reverse("equipment:unit", args=[done.made.unit_id]),
)

split_page = page_path(SPLIT_LOT, SPLIT)
split_door = api_path(SPLIT_LOT, Api(sent="LotSplitSent"))

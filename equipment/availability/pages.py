"""What the pages of holds are about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any
from uuid import NAMESPACE_OID, UUID, uuid5

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from equipment.availability import held
from equipment.availability.acts.holds import NewHold
from equipment.availability.stamped import stamped_on
from equipment.common.pages.about import about_unit
from equipment.models import Hold, Unit
from fleet.house.pages import today
from fleet.offers.page import About, Done


def about_holds(request: HttpRequest) -> About:
    """What is held; the unit that one comes from is in the query."""
    return About(
        starts={"value": request.GET.get("unit", "")[:80].replace("\x00", "")},
        back=reverse("equipment:stores_holds"),
        shown=lambda: {"holds": held.open_holds()},
    )


def unit_held(typed: Mapping[str, Any]) -> dict[str, Any]:
    """The unit that a hold of one unit names."""
    return {"unit_id": held.unit_id_of(typed, today().year)}


def held_words(done: Done) -> str:
    count, fitted = len(done.made.unit_ids), len(done.made.fitted_ids)
    words = f"{count} units are held" if count != 1 else "One unit is held"
    shown = f"; {fitted} of them fitted, shown to the controller" if fitted else ""
    return f"{words}{shown}."


def about_hold(request: HttpRequest, hold_id: int) -> About:
    """The hold of the address; 404 if there is none."""
    hold = get_object_or_404(Hold.objects.select_related("unit__part_number", "ended"), pk=hold_id)
    return About(
        given={"hold_id": hold.pk},
        back=reverse("equipment:stores_holds"),
        shown=lambda: {"hold": held.told(hold)},
    )


def hold_id_of(hold: NewHold) -> UUID:
    """The id of a sheet's line: another document for the same doubt is no other hold."""
    name = f"hold {hold.scope} {hold.value.upper()} {hold.unit_id} {hold.why} {hold.words}"
    return uuid5(NAMESPACE_OID, name)


def about_stamped(request: HttpRequest, unit_id: int) -> About:
    """The unit of the address, beginning with what is on record of it: a new reading changes a part of it."""
    about = about_unit(request, unit_id)
    found = stamped_on(Unit.objects.get(pk=unit_id))
    starts = (
        {}
        if found is None
        else {
            "specification": found.specification,
            "service_pressure": f"{found.service_psig.normalize():f} psi"
            if found.service_psig
            else "",
            "test_pressure": f"{found.test_psig.normalize():f} psi" if found.test_psig else "",
            "marks": "".join(found.marks),
            "requalifier": found.requalifier,
        }
    )
    return replace(about, starts=starts)

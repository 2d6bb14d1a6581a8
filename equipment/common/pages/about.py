"""What the page of an act on one unit is about."""

from __future__ import annotations

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from equipment.common.wording import unit_words
from equipment.models import Unit
from fleet.offers.page import About


def about_unit(request: HttpRequest, unit_id: int) -> About:
    """The unit of the address; 404 if there is none. One comes from its page and goes back there."""
    unit = get_object_or_404(Unit.objects.select_related("part_number"), pk=unit_id)
    return About(
        given={"unit_id": unit.pk},
        subject=unit_words(unit),
        back=reverse("equipment:unit", args=[unit.pk]),
        back_label="Back to the unit",
    )

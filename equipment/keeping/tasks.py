"""The night's look at what is kept of the ledger."""

from __future__ import annotations

from datetime import datetime

from celery import shared_task
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from equipment.common.wording import unit_words
from equipment.models import Unit
from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.models import User
from fleet.people.acts.notices import tell

from .repair import check_whereabouts

DESKS = [CONTROLLER, ADMINISTRATOR]


@shared_task(name="equipment.keeping.nightly", acks_late=True)
def nightly() -> int:
    """This will compare all that is kept with the ledger, and tell who must know of a difference.

    Nothing is set right of its own accord: a difference is a fault of the program or of somebody who
    was at the tables, and is looked at first. Returns how many there are.
    """
    return tell_of_differences(at=timezone.now())


@transaction.atomic
def tell_of_differences(*, at: datetime) -> int:
    """This will tell controllers and administrators, once each, of all differences there are."""
    found = list(check_whereabouts())
    if not found:
        return 0
    unit = Unit.objects.select_related("part_number").get(pk=found[0].unit_id)
    count = len({each.unit_id for each in found})
    units = "of one unit" if count == 1 else f"of {count} units"
    words = (
        f"What is kept {units} is not what the ledger says; the first is {unit_words(unit)}. Do not rely "
        "on where they are said to be: have manage.py check_whereabouts run."
    )
    link = reverse("equipment:unit", args=[unit.pk])
    for person in User.objects.filter(is_active=True, roles__overlap=DESKS):
        tell(to=person, words=words, link=link, at=at)
    return len(found)

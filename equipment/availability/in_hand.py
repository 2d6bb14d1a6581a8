"""What a person holds or has set aside, and nobody has ended: for whoever goes on with it."""

from __future__ import annotations

from collections.abc import Collection

from django.db.models import Q
from django.urls import reverse

from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.models import Hold, Reservation
from fleet.people.ports import OpenJob

MOST = 200


def holds_in_hand(person_id: int, also: Collection[int] = ()) -> list[OpenJob]:
    """The holds that this person raised, or those of these keys, whose doubt nobody has cleared."""
    rows = Hold.objects.filter(Q(held_by=person_id) | Q(pk__in=also), ended=None)
    rows = rows.select_related("unit__part_number").order_by("-held_at", "-pk")
    return [
        OpenJob(
            job=f"hold-{hold.pk}",
            words=f"Held: {unit_words(hold.unit) if hold.unit else hold.value}, {hold.words}",
            address=reverse("equipment:stores_holds"),
            part="raised the doubt" if hold.held_by_id == person_id else "",
            since=hold.held_at,
            needs="hold_units",
        )
        for hold in rows[:MOST]
    ]


def set_aside_in_hand(person_id: int, also: Collection[int] = ()) -> list[OpenJob]:
    """The units that this person set aside, or those of these keys, neither used nor freed."""
    rows = Reservation.objects.filter(Q(reserved_by=person_id) | Q(pk__in=also), ended_at=None)
    named = ("unit__part_number", *(f"place__{part}" for part in PLACE_PARTS))
    return [
        OpenJob(
            job=f"set-aside-{each.pk}",
            words=f"Set aside: {unit_words(each.unit)} for {place_words(each.place)}",
            address=reverse("equipment:stores_reservation", args=[each.pk]),
            part="set it aside" if each.reserved_by_id == person_id else "",
            since=each.reserved_at,
            needs="reserve_unit",
        )
        for each in rows.select_related(*named).order_by("-reserved_at", "-pk")[:MOST]
    ]

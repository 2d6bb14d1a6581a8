"""What a scanned code means besides a unit: an order of a shop, a bin, a certificate, a person's badge."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse

from equipment.common.wording import unit_words
from equipment.models import Certificate, Place, Reservation, ShopOrder
from fleet.models import User

#: Of each sort so many at most: more is no code, but a word.
MOST = 20


@dataclass(frozen=True, slots=True)
class Meaning:
    """One thing that a code may mean, and the one act or list that it leads to."""

    sort: str
    words: str
    act: str
    link: str


def other_meanings(text: str) -> list[Meaning]:
    """Open orders by their number, bins by their name, certificates by theirs, what was issued to a person by the
    user name that is on the badge. Five questions at most."""
    return [*_orders(text), *_bins(text), *_certificates(text), *_issued_to(text)]


def _orders(text: str) -> list[Meaning]:
    rows = ShopOrder.objects.filter(number__iexact=text, returned=None)
    return [
        Meaning(
            "order",
            f"Order {row.number} of {row.shop}: {unit_words(row.unit)}",
            "Record its return from the shop",
            reverse("equipment:stores_order", args=[row.pk]),
        )
        for row in rows.select_related("unit__part_number").order_by("shop", "pk")[:MOST]
    ]


def _bins(text: str) -> list[Meaning]:
    rows = Place.objects.filter(
        sort__in=(Place.STORE, Place.QUARANTINE), name__iexact=text, station__isnull=False
    )
    named = rows.order_by("station__code", "name").values_list("station__code", "name").distinct()
    return [
        Meaning(
            "bin",
            f"Bin {name} at {station}",
            "See what lies there",
            f"{reverse('equipment:stores_stock')}?{urlencode({'station': station, 'bin': name})}",
        )
        for station, name in named[:MOST]
    ]


def _certificates(text: str) -> list[Meaning]:
    rows = Certificate.objects.filter(tracking_number__iexact=text, unit__merged_into=None)
    found = rows.select_related("unit__part_number").order_by("unit", "pk").distinct("unit")
    return [
        Meaning(
            "certificate",
            f"{row.form} {row.tracking_number}: {unit_words(row.unit)}",
            "See what it is and where",
            reverse("equipment:stores_unit", args=[row.unit_id]),
        )
        for row in found[:MOST]
    ]


def _issued_to(text: str) -> list[Meaning]:
    person = User.objects.filter(username__iexact=text).first()
    if person is None:
        return []
    rows = Reservation.objects.filter(
        issued_to__iexact=person.shown_name, issued_at__isnull=False, ended_at=None
    )
    return [
        Meaning(
            "person",
            f"Issued to {person.shown_name}: {unit_words(row.unit)}",
            "Bring it back",
            reverse("equipment:stores_bring_back", args=[row.pk]),
        )
        for row in rows.select_related("unit__part_number").order_by("issued_at", "pk")[:MOST]
    ]

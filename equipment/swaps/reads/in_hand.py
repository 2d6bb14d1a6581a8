"""The open swaps that a person has to do with: for whoever takes them over when that person is gone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from django.db.models import Q, QuerySet
from django.urls import reverse

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.models import Signature, StepEntry, Swap
from fleet.people.ports import OpenJob

MOST = 50


def swaps_in_hand(person_id: int) -> list[OpenJob]:
    """The swaps that nobody has ended and that this person opened, or entered or signed something in;
    the latest opened first."""
    entered = StepEntry.objects.filter(entered_by=person_id).values("swap")
    signed = Signature.objects.filter(by=person_id).values("swap")
    rows = (
        Swap.objects.filter(end__isnull=True)
        .filter(Q(opened_by=person_id) | Q(pk__in=entered) | Q(pk__in=signed))
        .select_related(*(f"place__{part}" for part in PLACE_PARTS))
        .order_by("-opened_at", "-pk")[:MOST]
    )
    parts = {
        "opened it": {swap.pk for swap in rows if swap.opened_by_id == person_id},
        "entered steps": _of(entered, rows),
        "signed": _of(signed, rows),
    }
    return [
        OpenJob(
            words=f"{place_words(swap.place)}: {swap.reason}",
            address=reverse("equipment:swap", args=[swap.pk]),
            part=", ".join(_named(parts, swap.pk)),
        )
        for swap in rows
    ]


def _of(rows: QuerySet[Any, Any], swaps: Iterable[Swap]) -> set[int]:
    keys = [swap.pk for swap in swaps]
    return set(rows.filter(swap__in=keys).values_list("swap", flat=True))


def _named(parts: dict[str, set[int]], swap_id: int) -> Iterator[str]:
    return (words for words, swaps in parts.items() if swap_id in swaps)

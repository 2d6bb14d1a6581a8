"""The open swaps and calls that a person has to do with: for whoever takes them over when that person is gone."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from typing import Any

from django.db.models import Q, QuerySet
from django.urls import reverse

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.models import InspectorCall, Signature, StepEntry, Swap
from fleet.people.ports import OpenJob

MOST = 200


def swaps_in_hand(person_id: int, also: Collection[int] = ()) -> list[OpenJob]:
    """The swaps that nobody has ended and that this person opened, or entered or signed something in, and
    those of these keys; the latest opened first."""
    entered = StepEntry.objects.filter(entered_by=person_id).values("swap")
    signed = Signature.objects.filter(by=person_id).values("swap")
    rows = (
        Swap.objects.filter(end__isnull=True)
        .filter(Q(opened_by=person_id) | Q(pk__in=entered) | Q(pk__in=signed) | Q(pk__in=also))
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
            job=f"swap-{swap.pk}",
            since=swap.opened_at,
            needs="enter_step",
            words=f"{place_words(swap.place)}: {swap.reason}",
            address=reverse("equipment:swap", args=[swap.pk]),
            part=", ".join(_named(parts, swap.pk)),
        )
        for swap in rows
    ]


def calls_in_hand(person_id: int, also: Collection[int] = ()) -> list[OpenJob]:
    """The inspector's calls that nobody has ended and that this person made, or answered; the latest first."""
    found = InspectorCall.objects.filter(ended_at=None, swap__end=None)
    mine = Q(called_by=person_id) | Q(coming_by=person_id) | Q(pk__in=also)
    rows = found.filter(mine).select_related(
        "step", *(f"swap__place__{part}" for part in PLACE_PARTS)
    )
    return [_call(each, person_id) for each in rows.order_by("-called_at", "-pk")[:MOST]]


def _call(call: InspectorCall, person_id: int) -> OpenJob:
    is_inspector = call.coming_by_id == person_id
    part = "called the inspector" if call.called_by_id == person_id else ""
    return OpenJob(
        job=f"call-{call.pk}",
        words=f"{place_words(call.swap.place)}, step {call.step.number}: the inspector is called",
        address=reverse("equipment:swap", args=[call.swap_id]),
        part="answered the call" if is_inspector else part,
        since=call.called_at,
        needs="inspect_step" if is_inspector else "enter_step",
    )


def _of(rows: QuerySet[Any, Any], swaps: Iterable[Swap]) -> set[int]:
    keys = [swap.pk for swap in swaps]
    return set(rows.filter(swap__in=keys).values_list("swap", flat=True))


def _named(parts: dict[str, set[int]], swap_id: int) -> Iterator[str]:
    return (words for words, swaps in parts.items() if swap_id in swaps)

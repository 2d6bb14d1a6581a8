"""Where one goes on once a step's entry is kept."""

from __future__ import annotations

from collections.abc import Mapping

from django.urls import reverse

from equipment.judging.sorts.table import BY_CODE
from equipment.models import Step, StepEntry

from .shown import Asked


def after(asked: Asked, entry: StepEntry, sent: Mapping[str, str]) -> str:
    """Where one goes on: the next step after a plain yes or where it was asked for, else here, where the
    verdict stands. What is out of range is seen before anybody goes on."""
    here = reverse("equipment:swap_step", args=[asked.swap.pk, asked.step.number])
    declared = BY_CODE.get(asked.step.sort)
    is_plain = declared is not None and declared.leads_on
    is_good = entry.verdict in {"in", "none"}
    leads_on = is_plain or goes_on(sent)
    if not (leads_on and is_good) or (asked.step.posts and not goes_on(sent)):
        return f"{here}#step-after"
    return following(asked)


def goes_on(sent: Mapping[str, str]) -> bool:
    """Whether the one green button was pressed: keep what is typed, and on."""
    return sent.get("go") == "next"


def following(asked: Asked) -> str:
    """The next step's address; behind the last one the swap's."""
    numbers = Step.objects.filter(step_list=asked.step.step_list_id, number__gt=asked.step.number)
    number = numbers.order_by("number").values_list("number", flat=True).first()
    if number is None:
        return reverse("equipment:swap", args=[asked.swap.pk])
    return reverse("equipment:swap_step", args=[asked.swap.pk, number])

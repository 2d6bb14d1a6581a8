"""The three records of status that an operator keeps, and which limits each is of."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Exists, OuterRef, QuerySet

from scheduling.models import Clock, Limit


@dataclass(frozen=True, slots=True)
class Sort:
    """One record of status: its code in addresses, its title, what it is of."""

    code: str
    title: str
    what: str


LIFE, OVERHAUL, DIRECTIVE = "life-limited", "overhaul", "directives"
SORTS = (
    Sort(
        LIFE,
        "Life-limited status",
        "Limits that end a unit's life: past them it is never used again.",
    ),
    Sort(
        OVERHAUL,
        "Overhaul and test status",
        "Limits that ask for a work again: overhaul, test, replacement.",
    ),
    Sort(
        DIRECTIVE,
        "Directive status",
        "Limits that an authority or a maker imposes, with each unit's case.",
    ),
)
BY_CODE = {sort.code: sort for sort in SORTS}


def limits_of(sort: str) -> QuerySet[Limit]:
    """The limits that a record of status is of; each limit is of one of them."""
    ends = Exists(Clock.objects.filter(limit=OuterRef("pk"), runs_out="end_of_life"))
    rows = Limit.objects.annotate(ends_life=ends)
    if sort == DIRECTIVE:
        return rows.filter(is_directive=True)
    return rows.filter(is_directive=False, ends_life=sort == LIFE)

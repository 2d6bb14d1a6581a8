"""What is asked for and not received yet: how many are still open, how far it is, whether it is late."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from equipment.models import PurchaseRequest, PurchaseStep


@dataclass(frozen=True, slots=True)
class Asked:
    """A request with how far it is: ``state`` is the last that was noted of it, ``open`` how many are not received yet;
    late once its expected day, or the day it is wanted by, has passed."""

    request: PurchaseRequest
    state: str
    open: int
    expected_on: date | None
    order: str
    is_late: bool

    @property
    def part_number(self) -> str:
        return self.request.part_number.number


def requests() -> QuerySet[PurchaseRequest]:
    rows = PurchaseRequest.objects.select_related("part_number", "station", "requested_by")
    return rows.prefetch_related("steps")


def open_requests(today: date) -> list[Asked]:
    """All that is not received or withdrawn, what is late first, then by the day. Two questions."""
    found = [told(each, today) for each in requests().order_by("pk")]
    still = [each for each in found if each.open]
    return sorted(
        still, key=lambda each: (not each.is_late, each.expected_on or date.max, each.request.pk)
    )


def told(request: PurchaseRequest, today: date) -> Asked:
    """How far a request is."""
    steps = sorted(request.steps.all(), key=lambda each: each.pk)
    is_withdrawn = any(each.sort == PurchaseStep.WITHDRAWN for each in steps)
    left = max(request.quantity - sum(each.quantity for each in steps), 0)
    days = [each.expected_on for each in steps if each.expected_on is not None]
    orders = [each for each in steps if each.sort == PurchaseStep.ORDERED]
    expected = days[-1] if days else request.wanted_on
    return Asked(
        request,
        steps[-1].get_sort_display() if steps else "asked for",
        0 if is_withdrawn else left,
        expected,
        f"{orders[-1].supplier}, order {orders[-1].order_number}" if orders else "",
        expected is not None and expected < today,
    )


def open_by_part(today: date) -> dict[str, int]:
    """How many of each part number are on their way or asked for."""
    found: dict[str, int] = defaultdict(int)
    for each in open_requests(today):
        found[each.part_number] += each.open
    return dict(found)

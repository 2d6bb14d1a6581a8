"""What the line's lists read: swaps by where they are, what is open on an aircraft, a unit's tags."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Exists, OuterRef, Q, QuerySet

from .models import Discrepancy, InspectorCall, OpenItem, Swap, SwapMovement, UnitTag
from .wording import PLACE_PARTS, place_words

MOST = 50


@dataclass(frozen=True, slots=True)
class SwapLine:
    """One swap as another page names it."""

    id: int
    place: str
    reason: str
    is_open: bool
    opened_at: datetime


@dataclass(frozen=True, slots=True)
class Standing:
    """What keeps an aircraft from being releasable as far as its equipment's swaps go."""

    swaps: list[SwapLine]
    discrepancies: list[str]
    open_items: list[OpenItem]
    today: date

    @property
    def is_clear(self) -> bool:
        return not (self.swaps or self.discrepancies or any(self.expired))

    @property
    def expired(self) -> list[OpenItem]:
        return [item for item in self.open_items if item.expires_on < self.today]


def open_only(swaps: QuerySet[Swap]) -> QuerySet[Swap]:
    return swaps.filter(end__isnull=True)


def with_places(swaps: QuerySet[Swap]) -> QuerySet[Swap]:
    return swaps.select_related("end", *(f"place__{part}" for part in PLACE_PARTS))


def _line(swap: Swap) -> SwapLine:
    is_open = getattr(swap, "end", None) is None
    return SwapLine(swap.pk, place_words(swap.place), swap.reason, is_open, swap.opened_at)


def standing_of(aircraft_id: int, today: date) -> Standing:
    """The open swaps, unsettled discrepancies and open items of an aircraft: three queries."""
    swaps = with_places(open_only(Swap.objects.filter(aircraft=aircraft_id)))
    found = Discrepancy.objects.filter(aircraft=aircraft_id, settlement__isnull=True)
    items = OpenItem.objects.filter(aircraft=aircraft_id, closed__isnull=True)
    return Standing(
        [_line(swap) for swap in swaps.order_by("opened_at", "pk")[:MOST]],
        list(found.order_by("found_at", "pk").values_list("words", flat=True)[:MOST]),
        list(items.order_by("expires_on", "pk")[:MOST]),
        today,
    )


def swaps_of_unit(unit_ids: list[int]) -> list[SwapLine]:
    """The swaps that took a unit off, put it on, expect it or have it planned; the latest first."""
    moved = SwapMovement.objects.filter(swap=OuterRef("pk"), movement__unit__in=unit_ids)
    named = Q(expected_off__in=unit_ids) | Q(planned_on__in=unit_ids)
    still = named & Q(end__isnull=True)
    swaps = with_places(Swap.objects.filter(Exists(moved) | still))
    return [_line(swap) for swap in swaps.order_by("-opened_at", "-pk")[:MOST]]


def tags_of(unit_ids: list[int]) -> list[UnitTag]:
    """A unit's tags, the one that counts first."""
    tags = UnitTag.objects.filter(unit__in=unit_ids).select_related("recorded_by")
    return list(tags.order_by("-tagged_at", "-pk")[:MOST])


def waiting_counts() -> dict[str, int]:
    """How many wait for somebody: by the name of the page that lists them."""
    return {
        "swap_inspections": InspectorCall.objects.filter(ended_at__isnull=True).count(),
        "discrepancies": Discrepancy.objects.filter(settlement__isnull=True).count(),
    }

"""What the line's lists read: swaps by where they are, what is open on an aircraft, a unit's tags."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.models import (
    Discrepancy,
    InspectorCall,
    OpenItem,
    Swap,
    SwapMovement,
    SwapPresence,
    UnitTag,
)
from equipment.segregation.shop_first import CONDEMNED, latest_tags
from fleet.words.said import day_words

MOST = 50
STILL_HERE = timedelta(seconds=90)
LONG_WAIT = timedelta(minutes=15)


@dataclass(frozen=True, slots=True)
class Here:
    """Somebody who has a swap open now."""

    name: str
    step_number: int | None


@dataclass(frozen=True, slots=True)
class Call:
    """An inspector called to a step, and how long the caller has waited."""

    id: int
    swap_id: int
    registration: str
    position_code: str
    station: str
    step_number: int
    words: str
    called_at: datetime
    called_by: str
    coming_by: str
    wait_words: str
    is_long: bool


@dataclass(frozen=True, slots=True)
class SwapLine:
    """One swap as another page names it."""

    id: int
    place: str
    reason: str
    is_open: bool
    opened_at: datetime


def open_only(swaps: QuerySet[Swap]) -> QuerySet[Swap]:
    return swaps.filter(end__isnull=True)


def with_places(swaps: QuerySet[Swap]) -> QuerySet[Swap]:
    return swaps.select_related("end", *(f"place__{part}" for part in PLACE_PARTS))


def _line(swap: Swap) -> SwapLine:
    is_open = getattr(swap, "end", None) is None
    return SwapLine(swap.pk, place_words(swap.place), swap.reason, is_open, swap.opened_at)


def open_items_on(aircraft_id: int) -> list[OpenItem]:
    """What is open on an aircraft by a document, the first to end first."""
    items = OpenItem.objects.filter(aircraft=aircraft_id, closed__isnull=True)
    return list(items.order_by("expires_on", "pk")[:MOST])


def swaps_of_unit(unit_ids: list[int]) -> list[SwapLine]:
    """The swaps that took a unit off, put it on, expect it or have it planned; the latest first."""
    moved = SwapMovement.objects.filter(swap=OuterRef("pk"), movement__unit__in=unit_ids)
    named = Q(expected_off__in=unit_ids) | Q(planned_on__in=unit_ids)
    still = named & Q(end__isnull=True)
    swaps = with_places(Swap.objects.filter(Exists(moved) | still))
    return [_line(swap) for swap in swaps.order_by("-opened_at", "-pk")[:MOST]]


@dataclass(frozen=True, slots=True)
class TagLine:
    """One tag of a unit: whether it is the one that counts, whether it condemns, and by whom that was taken back."""

    tag: UnitTag
    counts: bool
    is_condemning: bool
    taken_back: str


def tags_of(unit_ids: list[int]) -> list[TagLine]:
    """A unit's tags, the latest first. Not always does the latest count: what was condemned stays so."""
    tags = UnitTag.objects.filter(unit__in=unit_ids)
    tags = tags.select_related("recorded_by", "taken_back__taken_back_by")
    found = latest_tags(dict.fromkeys(unit_ids, 0), timezone.now()).get(0)
    return [_tag_line(tag, found) for tag in tags.order_by("-tagged_at", "-pk")[:MOST]]


def _tag_line(tag: UnitTag, counting: UnitTag | None) -> TagLine:
    back = getattr(tag, "taken_back", None)
    words = ""
    if back is not None:
        words = (
            f"A mistake, taken back by {back.taken_back_by.shown_name} on "
            f"{day_words(back.taken_back_at.date())}, by {back.document}: {back.reason}"
        )
    return TagLine(tag, tag == counting, tag.sort == CONDEMNED and back is None, words)


def waiting_counts() -> dict[str, int]:
    """How many wait for somebody: by the name of the page that lists them."""
    return {
        "swap_inspections": InspectorCall.objects.filter(ended_at__isnull=True).count(),
        "discrepancies": Discrepancy.objects.filter(settlement__isnull=True).count(),
    }


def here_now(swap_id: int, but_person: int, but_device: str, now: datetime) -> list[Here]:
    """Who has a swap open now, besides this person on this device; the same person on another too."""
    seen = _here([swap_id], now).exclude(by=but_person, device=but_device)
    return [
        Here(
            "You, on another device" if each.by_id == but_person else each.by.shown_name,
            each.step_number,
        )
        for each in seen[:MOST]
    ]


def here_by_swap(swap_ids: list[int], now: datetime) -> dict[int, list[Here]]:
    """Everybody who has one of these swaps open now, by swap: one question."""
    found: dict[int, list[Here]] = {swap: [] for swap in swap_ids}
    for each in _here(swap_ids, now):
        found[each.swap_id].append(Here(each.by.shown_name, each.step_number))
    return {swap: people[:MOST] for swap, people in found.items()}


def _here(swap_ids: list[int], now: datetime) -> QuerySet[SwapPresence]:
    seen = SwapPresence.objects.filter(swap__in=swap_ids, seen_at__gte=now - STILL_HERE)
    return seen.select_related("by").order_by("-seen_at", "pk")


def wait_words(wait: timedelta) -> str:
    """``less than a minute``, ``14 min``, ``2 h 5 min``."""
    minutes = max(0, int(wait.total_seconds() // 60))
    if minutes < 1:
        return "less than a minute"
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest} min" if hours else f"{minutes} min"


def calls(now: datetime, **only: int) -> list[Call]:
    """The calls that nobody has ended, the longest wait first."""
    waiting = InspectorCall.objects.filter(ended_at__isnull=True, swap__end__isnull=True, **only)
    waiting = waiting.select_related(
        "step",
        "called_by",
        "coming_by",
        "swap__station",
        "swap__aircraft",
        *(f"swap__place__{part}" for part in PLACE_PARTS),
    )
    return [_call(each, now) for each in waiting.order_by("called_at", "pk")[:MOST]]


def _call(found: InspectorCall, now: datetime) -> Call:
    swap, wait = found.swap, now - found.called_at
    position = swap.place.aircraft_position
    return Call(
        id=found.pk,
        swap_id=swap.pk,
        registration=swap.aircraft.registration if swap.aircraft else "",
        position_code=position.type_position.code if position else place_words(swap.place),
        station=swap.station.name,
        step_number=found.step.number,
        words=found.step.words,
        called_at=found.called_at,
        called_by=found.called_by.shown_name,
        coming_by=found.coming_by.shown_name if found.coming_by else "",
        wait_words=wait_words(wait),
        is_long=wait >= LONG_WAIT,
    )


def call_of(swap_id: int, step_id: int, now: datetime) -> Call | None:
    """The call that waits at a step."""
    return next(iter(calls(now, swap=swap_id, step=step_id)), None)

"""What an aircraft's release after a check rests on, read before it is signed: its swaps and works in place, the
works recorded, what was carried forward, what is deferred, and what stands in the way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.models import OpenItem, RuleSet, Swap
from equipment.segregation.rules_of_aircraft import rule_set_on
from fleet.aircraft.ports import Grounding, groundings_of
from fleet.models import Check
from fleet.words.said import day_words, moment_words

from ..standing import CARRIED, DONE
from .handed import Handed


@dataclass(frozen=True, slots=True)
class SwapTold:
    """A swap or work in place of the check, and how it ended; ``is_open`` while it has not."""

    id: int
    words: str
    state: str
    is_open: bool


@dataclass(frozen=True, slots=True)
class RestsOn:
    """All of it. ``done`` and ``carried`` are the items, ``deferred`` the open items that stay open."""

    swaps: tuple[SwapTold, ...]
    done: tuple[str, ...]
    carried: tuple[str, ...]
    findings: tuple[str, ...]
    deferred: tuple[str, ...]
    obstacles: tuple[Grounding, ...]
    rules: RuleSet | None


def rests_on(package: Handed, on: date) -> RestsOn:
    """As of a day, by what is recorded now. A fixed number of questions beside what grounds the aircraft."""
    check = package.check
    until = package.closed.closed_at if package.closed else None
    return RestsOn(
        swaps_of(check, package.handovers[0].handed_at, until),
        _items(package, DONE),
        _items(package, CARRIED),
        tuple(f"{each.words.rstrip('.')}. {each.settled}" for each in package.findings),
        deferrals_of(check.aircraft_id, on),
        tuple(groundings_of([check.aircraft_id], on).get(check.aircraft_id, ())),
        rule_set_on(on, check.aircraft_id),
    )


def _items(package: Handed, state: str) -> tuple[str, ...]:
    return tuple(
        f"{each.row.number} {each.row.words}. {each.standing.words}"
        for each in package.items
        if each.standing.state == state
    )


def swaps_of(check: Check, since: datetime, until: datetime | None) -> tuple[SwapTold, ...]:
    """Those begun on its aircraft since the package was handed over, until the check was closed."""
    rows = Swap.objects.filter(aircraft=check.aircraft_id, opened_at__gte=since)
    if until is not None:
        rows = rows.filter(opened_at__lte=until)
    parts = (f"place__{part}" for part in PLACE_PARTS)
    found = rows.select_related("end__by", "step_list", *parts).order_by("pk")
    return tuple(_told(swap) for swap in found)


def _told(swap: Swap) -> SwapTold:
    end = getattr(swap, "end", None)
    what = f"Work in place {swap.pk}, {swap.work}" if swap.work else f"Swap {swap.pk}"
    words = f"{what}, {place_words(swap.place)}"
    if end is None:
        return SwapTold(swap.pk, words, "open", True)
    why = f": {end.reason}" if end.sort == "abandoned" else ""
    state = f"{end.get_sort_display()} {moment_words(end.at)} by {end.by.shown_name}{why}"
    return SwapTold(swap.pk, words, state, False)


def deferrals_of(aircraft_id: int, on: date) -> tuple[str, ...]:
    """What is open on the aircraft by a document, with its last day. One question."""
    rows: Sequence[OpenItem] = list(
        OpenItem.objects.open_on(on).filter(aircraft=aircraft_id).order_by("expires_on", "pk")
    )
    return tuple(
        f"{each.words.rstrip('.')}: {each.document}, until {day_words(each.expires_on)}."
        for each in rows
    )

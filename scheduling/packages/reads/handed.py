"""A package that was handed over: its items and findings as they stand, by what is recorded since."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from urllib.parse import urlencode

from django.db.models import Q
from django.urls import reverse

from equipment.models import Swap, SwapMovement, Unit
from fleet.models import Check
from fleet.words.said import day_words, moment_words
from scheduling.models import (
    CarriedForward,
    CheckClosed,
    CheckReleased,
    DueItem,
    PackageHandover,
    PackageItem,
    WorkDone,
)

from ..standing import BEGUN, CARRIED, DONE, OPEN, Asked, Recorded, Standing, standing_of
from .findings import FindingShown, findings_of


@dataclass(frozen=True, slots=True)
class ItemShown:
    """One item with how it stands. ``begin`` is where its swap or work in place begins, by one's own page."""

    row: PackageItem
    standing: Standing
    begin: str
    due_on: date | None

    @property
    def is_open(self) -> bool:
        return self.standing.state in (OPEN, BEGUN)

    @property
    def name(self) -> str:
        """What the item is of: position and unit, without its works."""
        names = ", ".join(dict.fromkeys(work["work"] for work in self.row.works))
        return self.row.words.removesuffix(f": {names}")

    @property
    def works(self) -> list[str]:
        """Each work with its limit and document, and its unit where that is another than the item's."""
        return [
            ", ".join(
                filter(None, (work["work"], work["limit"], work["document"], self._other(work)))
            )
            for work in self.row.works
        ]

    def _other(self, work: dict[str, Any]) -> str:
        unit = str(work.get("unit", ""))  # what was handed over before units were kept has none
        return "" if unit in self.row.words else unit


@dataclass(frozen=True, slots=True)
class Handed:
    """A package as it was handed over, with all that became of it."""

    check: Check
    handovers: tuple[PackageHandover, ...]
    items: tuple[ItemShown, ...]
    findings: tuple[FindingShown, ...]
    closed: CheckClosed | None
    release: CheckReleased | None

    @property
    def last(self) -> PackageHandover:
        return self.handovers[-1]

    @property
    def open_items(self) -> list[ItemShown]:
        return [each for each in self.items if each.is_open]

    @property
    def open_findings(self) -> list[FindingShown]:
        return [each for each in self.findings if not each.settled]

    def count(self, state: str) -> int:
        return sum(each.standing.state == state for each in self.items)

    @property
    def done(self) -> int:
        return self.count(DONE)

    @property
    def carried(self) -> int:
        return self.count(CARRIED)


def handed_of(check: Check) -> Handed | None:
    """The package of a check as it was handed over; None if it was not. A fixed number of questions."""
    rows = PackageHandover.objects.filter(check_planned=check).select_related("to", "handed_by")
    handovers = tuple(rows.order_by("pk"))
    if not handovers:
        return None
    closed = CheckClosed.objects.filter(check_planned=check).select_related("closed_by").first()
    release = CheckReleased.objects.filter(closed=closed).first() if closed else None
    first = handovers[0]
    items = _items(check, first.handed_at, closed)
    until = closed.closed_at if closed else None
    return Handed(
        check, handovers, items, findings_of(check, first.handed_at, until), closed, release
    )


def _items(check: Check, since: datetime, closed: CheckClosed | None) -> tuple[ItemShown, ...]:
    rows = list(
        PackageItem.objects.filter(check_planned=check)
        .select_related("handover", "unit_off", "carried__to_check")
        .order_by("number")
    )
    if closed is not None:
        return tuple(_as_closed(rows, closed))
    recorded = _recorded(rows, since)
    off = _off(rows, since)
    due = dict(
        DueItem.objects.filter(pk__in=[row.due_item for row in rows]).values_list("pk", "due_on")
    )
    found = []
    for row in rows:
        asked = [_asked(work) for work in row.works]
        own = [one for work in asked for one in recorded.get(work.subject, [])]
        standing = standing_of(
            asked,
            own,
            row.handover.handed_on,
            off=off.get(row.pk),
            carried=carried_words(getattr(row, "carried", None)),
        )
        found.append(ItemShown(row, standing, begin_of(row, check), due.get(row.due_item)))
    return tuple(found)


def _as_closed(rows: Sequence[PackageItem], closed: CheckClosed) -> list[ItemShown]:
    """As the check was closed, whatever was recorded since."""
    told = {each["number"]: each for each in closed.content["items"]}
    return [
        ItemShown(
            row,
            Standing(told[row.number]["state"], told[row.number]["said"], told[row.number]["swap"]),
            "",
            row.last_on,
        )
        for row in rows
    ]


def _asked(work: dict[str, Any]) -> Asked:
    return Asked(
        work["work"],
        (work["subject"][0], work["subject"][1]),
        frozenset(work["restarts"]),
        work["limit"],
    )


def carried_words(row: CarriedForward | None) -> str:
    """By what, by whom and why an item was carried forward; empty where it was not."""
    if row is None:
        return ""
    to = f" to {row.to_check.name}, {day_words(row.to_check.starts_on)}" if row.to_check else ""
    until = f", by {day_words(row.due_on)} at the latest" if row.due_on else ""
    return (
        f"Carried forward{to}{until}: {row.reason.rstrip('.')}."
        f" Approved by {row.approved_by}, {row.approval}."
    )


def begin_of(row: PackageItem, check: Check) -> str:
    """Where the item's swap begins, or its work in place; empty where neither has a page."""
    if row.place_id is None:
        return ""
    query: dict[str, Any] = {"place": row.place_id, "due": row.due_item}
    if row.unit_off_id is None:
        first = row.works[0]
        query["work"] = first["code"]
        if first["subject"][0] == "unit":
            query["on"] = first["subject"][1]
    query["why"] = f"{row.works[0]['work']}, {check.name}"[:200]
    return f"{reverse('equipment:swap_start')}?{urlencode(query)}"


# --- what is recorded ---------------------------------------------------------------------------


def _recorded(
    rows: Sequence[PackageItem], since: datetime
) -> dict[tuple[str, int], list[Recorded]]:
    """The works recorded since on the subjects of these items, passed or failed, that stand. One question."""
    keys: dict[str, set[int]] = defaultdict(set)
    for row in rows:
        for work in row.works:
            sort, key = work["subject"]
            keys[sort].add(key)
    of_any = Q(unit__in=keys["unit"]) | Q(position__in=keys["position"])
    of_any |= Q(aircraft__in=keys["aircraft"])
    works = WorkDone.objects.filter(
        of_any, recorded_at__gte=since, is_annulment=False, corrected_by=None
    )
    found: dict[tuple[str, int], list[Recorded]] = defaultdict(list)
    for work in works.select_related("work").order_by("done_on", "pk"):
        shown = work.document or work.certificate
        by = f" by {work.who}" if work.who else ""
        words = f"{work.work.name} {day_words(work.done_on)}{by}{f', {shown}' if shown else ''}."
        subject = _subject(work)
        found[subject].append(
            Recorded(
                work.work.code,
                subject,
                work.done_on,
                work.precision == "month",
                words,
                work.limit_code,
                work.result == "failed",
            )
        )
    return found


def _subject(work: WorkDone) -> tuple[str, int]:
    for sort in ("unit", "position", "aircraft"):
        if (key := getattr(work, f"{sort}_id")) is not None:
            return sort, key
    raise AssertionError("A work is done on one subject.")


def _off(rows: Sequence[PackageItem], since: datetime) -> dict[int, Standing]:
    """How the change of each item's unit stands, where one was begun since, or the unit is gone from its
    place. Four questions."""
    placed = {row.pk: row for row in rows if row.place_id is not None}
    places = {row.place_id for row in placed.values()}
    swaps = Swap.objects.filter(place__in=places, opened_at__gte=since).select_related("end__by")
    by_place: dict[int, list[Swap]] = defaultdict(list)
    for swap in swaps.order_by("pk"):
        by_place[swap.place_id].append(swap)
    taken = {
        (unit, swap)
        for unit, swap in SwapMovement.objects.filter(
            role=SwapMovement.OFF, swap__place__in=places, swap__opened_at__gte=since
        ).values_list("movement__unit", "swap")
    }
    units = {row.unit_off_id for row in placed.values() if row.unit_off_id}
    now = dict(Unit.objects.filter(pk__in=units).values_list("pk", "place"))
    filled = set(Unit.objects.filter(place__in=places).values_list("place", flat=True))
    found = {}
    for key, row in placed.items():
        standing = _change(row, by_place[row.place_id or 0], taken, now, filled)
        if standing is not None:
            found[key] = standing
    return found


def _change(
    row: PackageItem,
    swaps: Sequence[Swap],
    taken: set[tuple[int, int]],
    now: Mapping[int, int | None],
    filled: Set[int],
) -> Standing | None:
    """Of one item: the swap or work in place at its position, or its unit moved without one."""
    own = [each for each in swaps if _is_own(row, each)]
    for swap in reversed(own):
        end = getattr(swap, "end", None)
        what = "Work in place" if swap.work else "Swap"
        if end is None:
            return Standing(BEGUN, f"{what} {swap.pk} is open.", swap.pk)
        if end.sort == "released" and row.unit_off_id and (row.unit_off_id, swap.pk) in taken:
            words = f"Swap {swap.pk}, released {moment_words(end.at)} by {end.by.shown_name}."
            return Standing(DONE, words, swap.pk)
    if row.unit_off_id and now.get(row.unit_off_id) != row.place_id:
        gone = "Its unit is not there any more, by the movements recorded"
        if row.place_id in filled:
            return Standing(DONE, f"{gone}; another is.")
        return Standing(BEGUN, f"{gone}, and the position stands empty.")
    return None


def _is_own(row: PackageItem, swap: Swap) -> bool:
    """A change is of whatever is at the position; a work in place of the item that asks for it."""
    if not swap.work:
        return row.unit_off_id is not None
    codes = {code for work in row.works for code in work["restarts"]}
    is_begun_here = swap.due_item is None or swap.due_item == row.due_item
    return row.unit_off_id is None and swap.work in codes and is_begun_here

"""What the hours and cycles of one line mean: a unit's total now and at its last work, the interval it adds."""

from __future__ import annotations

from .unit import Count, Seen
from .words.counts import CYCLES, HOURS, amount_of
from .words.heads import DONE, INTERVAL, LEFT, NEXT

#: By measure: the roles of the unit's total since new and since overhaul, and of the aircraft's own.
_TOTALS = {HOURS: ("tsn", "tso", "hours"), CYCLES: ("csn", "cso", "cycles")}
OVERHAUL, LIFE = "OVH", "LIFE"


def said(one: Seen, aspect: str, measure: str, work: str) -> int | None:
    """Minutes or a count that the line says of a work; None where it says none that can be read."""
    count = one.counts.get((f"{aspect}-{measure}", work))
    return amount_of(measure, count.cell) if count else None


def total_of(one: Seen, measure: str, which: int = 0) -> int | None:
    """The unit's total since new (0), since overhaul (1), or the aircraft's own (2) as its line says."""
    return amount_of(measure, one.totals.get(_TOTALS[measure][which], ""))


def is_of_aircraft(one: Seen, count: Count, measure: str) -> bool:
    """Whether a total of a work is the aircraft's: as its heading says, else where the line knows no
    total of the unit."""
    if count.of_aircraft is not None:
        return count.of_aircraft
    return total_of(one, measure) is None


def total_at_work(one: Seen, measure: str, work: str) -> int | None:
    """The unit's own total at its last work, as far as the line tells it.

    Of hours since overhaul, it is the total now less those; of the aircraft's total at the work, the unit has
    flown since what the aircraft has.
    """
    now = total_of(one, measure)
    since = total_of(one, measure, 1)
    if work == OVERHAUL and now is not None and since is not None and since <= now:
        return now - since
    count = one.counts.get((f"{DONE}-{measure}", work))
    at = said(one, DONE, measure, work)
    if count is None or at is None or now is None:
        return None
    if not is_of_aircraft(one, count, measure):
        return at if at <= now else None
    craft = total_of(one, measure, 2)
    flown = craft - at if craft is not None else -1
    return now - flown if 0 <= flown <= now else None


def interval_added(one: Seen, measure: str, work: str) -> int | None:
    """The interval that the line adds: as it says, or as its next and last totals differ."""
    if (stated := said(one, INTERVAL, measure, work)) is not None:
        return stated or None
    due, last = said(one, NEXT, measure, work), said(one, DONE, measure, work)
    if work == LIFE:
        return due or None
    if due is not None and last is not None:
        return due - last if due > last else None
    since = total_of(one, measure, 1) if work == OVERHAUL else None
    left = said(one, LEFT, measure, work)
    if left is not None and since is not None:
        return left + since or None
    now = total_of(one, measure)
    if due is not None and since is not None and now is not None and due > now - since:
        return due - (now - since)
    return None


def since_a_work_without_a_day(one: Seen) -> str:
    """The role of a total since overhaul of which no day is told; empty where the unit is as new or it is told."""
    if one.done.get(OVERHAUL) is not None:
        return ""
    for measure, (_, role, _) in _TOTALS.items():
        since = total_of(one, measure, 1)
        if since is not None and since != total_of(one, measure):
            return role
    return ""

"""What contradicts the records: each rule looks at one movement and says why not, in a sentence.

The doors of people keep such a movement as not conforming, with these reasons; the door of the
sheets refuses its line with them.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from fleet.house.refusals import Refusal
from fleet.words.said import count_words, day_words, hours_words

from .fits import why_not_installed
from .picture import Edit, Link, Picture, PlaceFacts, Span, Totals, UnitFacts

NOWHERE = "nowhere"
ANYWHERE = frozenset(
    {NOWHERE, "aircraft", "inside", "store", "quarantine", "shop", "party", "gone"}
)
ON_HAND = frozenset({"store", "quarantine", "shop", "party"})
# From where a movement of this sort can begin; nowhere: nothing is recorded of the unit before.
FROM: dict[str, frozenset[str]] = {
    "received": frozenset({NOWHERE, "party", "gone"}),
    "installed": frozenset({NOWHERE, "store", "shop"}),
    "removed": frozenset({"aircraft", "inside"}),
    "sent": ON_HAND | {NOWHERE},
    "returned": ON_HAND,
    "quarantined": ON_HAND | {NOWHERE},
    "released": frozenset({"quarantine", "store"}),
    "lent": frozenset({"store"}),
    "borrowed": frozenset({NOWHERE, "party"}),
    "exchanged": ON_HAND,
    "sold": ON_HAND,
    "lost": ANYWHERE - {"gone", NOWHERE},
    "found": frozenset({NOWHERE, "gone"}),
    "scrapped": ON_HAND | {"gone"},
    "split": ANYWHERE - {"gone"},
    "stowed": frozenset({"store", "quarantine"}),
    "used": frozenset({"store"}),
    "joined": frozenset({"store", "quarantine"}),
}
STORES = frozenset({"store", "quarantine"})
#: What may be done with what is in stock only.
NEEDS_STOCK = frozenset({"installed", "lent"})
# Where a movement of this sort can lead. Anything else is a slip of the pen, refused at once.
TO: dict[str, frozenset[str]] = {
    "received": STORES | {"shop"},
    "installed": frozenset({"aircraft", "inside"}),
    "removed": STORES | {"shop"},
    "sent": STORES | {"shop", "party"},
    "returned": STORES,
    "quarantined": frozenset({"quarantine"}),
    "released": frozenset({"store"}),
    "lent": frozenset({"party"}),
    "borrowed": STORES,
    "exchanged": STORES | {"party"},
    "sold": frozenset({"party", "gone"}),
    "lost": frozenset({"gone"}),
    "found": STORES,
    "scrapped": frozenset({"gone"}),
    "split": ANYWHERE - {NOWHERE, "gone"},
    "stowed": STORES,
    "used": frozenset({"gone"}),
    "joined": STORES | {"gone"},
}


def why_not_move(
    edit: Edit, picture: Picture, before: Link | None, across: Sequence[Span] = ()
) -> list[Refusal]:
    """Every reason why this movement cannot follow what is recorded; ``before`` is its last place.

    ``across`` is who is at the mirrored position in the same time. Whether the place is taken is another question: :func:`why_taken`.
    """
    assert edit.link is not None
    unit = picture.units[edit.unit_id]
    came_from = picture.places[before.place_id] if before else None
    found = [
        why_not_from(edit.sort, unit, came_from, before, edit.off),
        _why_not_stowed(edit, picture, came_from),
        _why_not_on_one_gone(edit, picture),
        why_not_made(edit, unit),
        *(why_not_installed(edit, picture, across) if edit.sort == "installed" else ()),
        *why_not_totals(edit, picture.totals.get(edit.row)),
    ]
    return [refusal for refusal in found if refusal]


def why_not_from(
    sort: str,
    unit: UnitFacts,
    came_from: PlaceFacts | None,
    before: Link | None,
    off: int | None = None,
) -> Refusal | None:
    """Whether the unit was where a movement of this sort can begin: at ``off``, if that is said."""
    if came_from is None or before is None:
        if NOWHERE in FROM[sort]:
            return None
        return Refusal(
            "nothing_recorded_before",
            f"Nothing is recorded of {unit.words} before that: record first where it was.",
            "unit",
        )
    is_there = off is None or off == before.place_id
    if came_from.sort in FROM[sort] and not came_from.is_scrap and is_there:
        return None
    code, words, remedy = _is_elsewhere(sort, unit, came_from)
    since = f"since {day_words(before.day)}"
    return Refusal(code, f"{words} {since}: {remedy}, or correct what is recorded.", "unit")


def _is_elsewhere(sort: str, unit: UnitFacts, there: PlaceFacts) -> tuple[str, str, str]:
    """Why not from there: the code, where the unit is instead, and what would do."""
    remedy = "record how it left there"
    if sort in NEEDS_STOCK and there.sort == "quarantine":
        remedy = "it is used after its incoming inspection"
        return "unit_quarantined", f"{unit.words} is in quarantine, at {there.words}", remedy
    if there.is_scrap:
        return "unit_scrapped", f"{unit.words} is recorded as scrapped", remedy
    if sort == "removed" and there.sort not in FROM[sort]:
        words = f"{unit.words} is not recorded as fitted then, but at {there.words}"
        return "not_installed", words, "record its installation first"
    if sort == "released":
        words = f"{unit.words} is not recorded in quarantine, but at {there.words}"
        return "not_in_quarantine", words, remedy
    return "unit_recorded_elsewhere", f"{unit.words} is recorded at {there.words}", remedy


def _why_not_stowed(edit: Edit, picture: Picture, came_from: PlaceFacts | None) -> Refusal | None:
    """Whether a bin is of the store or the quarantine that the unit is in: nothing leaves it by a bin."""
    assert edit.link is not None
    to = picture.places[edit.link.place_id]
    if edit.sort != "stowed" or came_from is None or came_from.sort not in STORES:
        return None
    if came_from.sort == to.sort:
        return None
    words = f"{picture.units[edit.unit_id].words} is at {came_from.words}: "
    if came_from.sort == "quarantine":
        words += "it leaves quarantine by its incoming inspection, not for a bin of the store."
        return Refusal("unit_quarantined", words, "place")
    words += "record that it is quarantined, then its bin there."
    return Refusal("place_does_not_suit", words, "place")


def _why_not_on_one_gone(edit: Edit, picture: Picture) -> Refusal | None:
    """Whether the aircraft was still in the fleet."""
    assert edit.link is not None
    to = picture.places[edit.link.place_id]
    if edit.sort != "installed" or to.left_on is None or edit.link.day < to.left_on:
        return None
    words = f"{to.words}: the aircraft left the fleet on {day_words(to.left_on)}. Check the aircraft and the day."
    return Refusal("aircraft_left", words, "place")


def why_not_made(edit: Edit, unit: UnitFacts) -> Refusal | None:
    """Whether the unit existed. A month counts from its first day, a year from its first."""
    assert edit.link is not None
    if unit.manufactured_on is None or edit.link.day >= unit.manufactured_on:
        return None
    # Known to the month or the year only, it may still be the same one.
    width = {"month": 7, "year": 4}.get(edit.precision, 10)
    if edit.link.day.isoformat()[:width] >= unit.manufactured_on.isoformat()[:width]:
        return None
    return Refusal(
        "before_manufacture",
        f"{unit.words} was made {unit.made}, after {day_words(edit.link.day)}: check both dates.",
        "happened_on",
    )


def why_not_totals(edit: Edit, near: Totals | None) -> list[Refusal]:
    """Whether the aircraft's totals lie between those read on the nearest other days."""
    if near is None:
        return []
    found = [
        _why_not_between(edit.minutes, near.minutes_before, near.minutes_after, "aircraft_minutes"),
        _why_not_between(edit.cycles, near.cycles_before, near.cycles_after, "aircraft_cycles"),
    ]
    return [refusal for refusal in found if refusal]


def _why_not_between(
    total: int | None, before: int | None, after: int | None, field: str
) -> Refusal | None:
    said = hours_words if field == "aircraft_minutes" else count_words
    what = "flight hours" if field == "aircraft_minutes" else "flight cycles"
    if total is not None and before is not None and total < before:
        words = f"less than the {said(before)} read earlier"
    elif total is not None and after is not None and total > after:
        words = f"more than the {said(after)} read later"
    else:
        return None
    return Refusal(
        "totals_run_backwards",
        f"The aircraft's {what} of {said(total)} are {words}: check the reading, or correct the other.",
        field,
    )


def why_taken(span: Span, present: list[Span], picture: Picture) -> Refusal | None:
    """Whether the place has room for the stay beside those ``present`` in the same time."""
    place = picture.places[span.place_id]
    most = max(
        (_quantity_at(max(span.start, each.start), [span, *present]) for each in [span, *present]),
        default=0,
    )
    if not place.holds or most <= place.holds:
        return None
    if place.holds == 1 and present:
        other = min(present, key=lambda each: each.start)
        until = f" until {day_words(other.end.date())}" if other.end else ""
        words = f"{picture.units[other.unit_id].words} is recorded there since {day_words(other.since)}{until}"
        remedy = "record its removal first, or correct that"
    else:
        words = f"it holds {place.holds} and would hold {most}"
        remedy = "record first what came off, or correct that"
    return Refusal(
        "position_full", f"{place.words} is full: {words}. {remedy.capitalize()}.", "place"
    )


def _quantity_at(at: datetime, spans: list[Span]) -> int:
    there = (each for each in spans if each.start <= at and (each.end is None or at < each.end))
    return sum(each.quantity for each in there)


def inside_itself(unit: UnitFacts, place: PlaceFacts) -> Refusal:
    return Refusal(
        "inside_itself",
        f"{unit.words} would be inside itself at {place.words}: check which unit is inside which.",
        "place",
    )

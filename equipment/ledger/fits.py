"""Whether a part may go to a position on that day: what is listed for it, its state, its other side.

What is listed governs: a part that is listed for a position may go there whatever its kind. Where
nothing at all is listed for a position, any part of the position's kind may go there and no other.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from fleet.house.refusals import Refusal
from fleet.words.said import day_words

from .picture import Edit, FitFacts, Identity, Picture, PlaceFacts, Span, UnitFacts

ACTIVE, ABSENT = "active", "absent"
#: Sides that differ for less than this are one job under way: the one changed after the other.
ONE_JOB = timedelta(days=1)


def why_not_installed(edit: Edit, picture: Picture, across: Sequence[Span]) -> list[Refusal]:
    """Every reason why this unit may not be at this position from that day on.

    ``across`` is who is at the mirrored position in the same time.
    """
    assert edit.link is not None
    unit, place = picture.units[edit.unit_id], picture.places[edit.link.place_id]
    found = [
        why_not_open(place, edit.link.day, picture),
        why_not_fit(unit.identity_on(edit.link.day), edit, place, picture, across),
    ]
    return [refusal for refusal in found if refusal]


def why_not_open(place: PlaceFacts, day: date, picture: Picture) -> Refusal | None:
    """Whether the aircraft has the position on that day, in use. Without any state it has."""
    states = picture.states.get(place.aircraft_position_id or 0, ())
    latest = max((s for s in states if s.from_on <= day), key=lambda s: s.from_on, default=None)
    if latest is None or latest.state == ACTIVE:
        return None
    since = f"since {day_words(latest.from_on)} ({latest.document})"
    if latest.state == ABSENT:
        code, words = "position_absent", f"{place.words} is not on this aircraft {since}"
        remedy = "choose another position, or enter the document that puts it there"
    else:
        code, words = "position_deactivated", f"{place.words} is deactivated {since}"
        remedy = "enter first the document that makes it active again, or choose another position"
    return Refusal(code, f"{words}: {remedy}.", "place")


def why_not_fit(
    identity: Identity, edit: Edit, place: PlaceFacts, picture: Picture, across: Sequence[Span]
) -> Refusal | None:
    """Whether the part is listed for the position; where nothing is, whether it is of its kind."""
    unit = picture.units[edit.unit_id]
    listed = picture.fits.get((place.type_position_id, place.part_position_id), [])
    if not listed:
        return _why_kind_differs(identity, unit, place, picture)
    standing_for = {identity.part_id} | picture.alternates.get(identity.part_id, frozenset())
    of_part = [fit for fit in listed if fit.part_id in standing_for]
    within = [fit for fit in of_part if _is_within(fit, identity, place.msn)]
    if not within:
        but = " at this standard or on this aircraft" if of_part else ""
        return Refusal(
            "part_does_not_fit",
            f"{unit.words} is not listed for {place.words}{but}: choose another unit, or enter the"
            " fit with its document.",
            "place",
        )
    if all(fit.is_both_sides for fit in within):
        return _why_sides_differ(identity, edit, within[0].document, picture, across)
    return None


def _why_kind_differs(
    identity: Identity, unit: UnitFacts, place: PlaceFacts, picture: Picture
) -> Refusal | None:
    kind, name = picture.kinds.get(identity.part_id, (place.kind_id, ""))
    if kind == place.kind_id:
        return None
    return Refusal(
        "kind_differs",
        f"{unit.words} is of the kind “{name}”, and {place.words} is for “{place.kind}”: choose"
        " another position, or enter the fit with its document.",
        "place",
    )


def _why_sides_differ(
    identity: Identity, edit: Edit, document: str, picture: Picture, across: Sequence[Span]
) -> Refusal | None:
    """Whether a unit of another part is at the mirrored position for longer than one job takes."""
    assert edit.link is not None
    for span in across:
        other = picture.units[span.unit_id]
        there = other.identity_on(max(span.since, edit.link.day))
        if not _is_same(identity.part_id, there.part_id, picture):
            by = f" ({document})" if document else ""
            return Refusal(
                "sides_differ",
                f"{picture.units[edit.unit_id].words} would not be the same part as {other.words} at"
                f" {picture.places[span.place_id].words}, and both sides must be the same{by}:"
                " choose another unit, or record the change of both sides in one act.",
                "place",
            )
    return None


def _is_same(part: int, other: int, picture: Picture) -> bool:
    """The same part number, or each may stand for the other."""
    stand_for = picture.alternates
    return part == other or (other in stand_for.get(part, ()) and part in stand_for.get(other, ()))


def _is_within(fit: FitFacts, identity: Identity, msn: str) -> bool:
    if fit.part_id == identity.part_id and fit.standards and identity.standard not in fit.standards:
        return False
    low, here, high = (_ordered(text) for text in (fit.msn_from, msn, fit.msn_to))
    return not msn or ((not fit.msn_from or low <= here) and (not fit.msn_to or here <= high))


def _ordered(msn: str) -> tuple[int, str]:
    """MSNs of digits alone compare as numbers: 998 before 1042."""
    return (int(msn), "") if msn.isdecimal() else (0, msn)

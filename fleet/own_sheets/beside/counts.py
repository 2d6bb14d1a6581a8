"""Hours and cycles of the sheet beside the reckoned ones: the same, or why not."""

from __future__ import annotations

from fleet.own_sheets.words.counts import HOURS, NAMES

from .claims import Claim, Reckoned, count_words

#: So much apart is the same: sheets keep whole hours.
_SAME_WITHIN = {HOURS: 60}


def outcome_of(claim: Claim, due: Reckoned) -> tuple[bool, str]:
    """Whether a total or a remainder is the reckoned one, and the reason in words."""
    assert isinstance(claim.says, int)
    within = _SAME_WITHIN.get(claim.measure, 1)
    ways = reckoned_ways(claim, due)
    if not ways:
        if claim.measure not in due.amounts:
            return False, f"the limit counts no {NAMES[claim.measure]}"
        return False, f"no total can be reckoned: {due.missing or 'facts are missing'}"
    for words, amount in ways:
        if abs(amount - claim.says) < within:
            return True, words
    allowed = due.amounts.get(claim.measure)
    if claim.added is not None and allowed is not None and claim.added != allowed:
        added, allows = (count_words(claim.measure, n) for n in (claim.added, allowed))
        return False, f"the sheet adds {added}, the limit says {allows}"
    way = "more" if ways[0][1] > claim.says else "fewer"
    return False, f"reckoned {way} {NAMES[claim.measure]} than the sheet, and not by its interval"


def reckoned_ways(claim: Claim, due: Reckoned) -> list[tuple[str, int]]:
    """What is reckoned, in words what it counts: as the sheet means it first."""
    left, at = due.left.get(claim.measure), due.at.get(claim.measure)
    name = NAMES[claim.measure]
    if claim.is_left:
        return [] if left is None else [(f"the same {name} left", left)]
    of_unit = [] if at is None else [(f"the same, by the unit's own {name}", at)]
    craft = due.craft.get(claim.measure)
    of_craft = (
        []
        if craft is None or left is None
        else [(f"the same, by the aircraft's {name}", craft + left)]
    )
    return of_craft + of_unit if claim.of_aircraft else of_unit + of_craft

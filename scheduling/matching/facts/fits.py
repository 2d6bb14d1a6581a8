"""Whether a part goes where the need is: parts, standards, sides and serial numbers of aircraft."""

from __future__ import annotations

from .facts import Fit, Supply
from .reasons import Reason

NOTHING = Reason(0)


def fits_for(fits: tuple[Fit, ...], msn: str) -> tuple[tuple[Fit, bool], ...]:
    """Each fit, and whether its bounds take in this aircraft."""
    return tuple((fit, is_within(msn, fit.msn_from, fit.msn_to)) for fit in fits)


def fit_reasons(
    judged: tuple[tuple[Fit, bool], ...], part: str, standard: str, hand: str
) -> Reason:
    """Why a part at a standard does not fit: nothing if one fit takes it, else all that is wrong by
    the fit of that part with least wrong (the first of equals)."""
    found = [_against(fit, within, standard, hand) for fit, within in judged if fit.part == part]
    if not found:
        return Reason.WRONG_PART
    return min(found, key=lambda reason: reason.bit_count())


def _against(fit: Fit, within: bool, standard: str, hand: str) -> Reason:
    found = NOTHING
    if fit.standards and standard not in fit.standards:
        found |= Reason.WRONG_STANDARD
    if fit.hand and hand and fit.hand != hand:
        found |= Reason.WRONG_HAND
    if not within:
        found |= Reason.WRONG_MSN
    return found


def is_within(msn: str, first: str, last: str) -> bool:
    """Whether the bounds of a fit take in an aircraft; a blank bound bounds nothing."""
    return (not first or _order(first) <= _order(msn)) and (not last or _order(msn) <= _order(last))


def _order(msn: str) -> tuple[bool, int, str]:
    """Numbers in the order of numbers, before all that are no plain numbers, in the order of text."""
    return (False, int(msn), "") if msn.isdecimal() else (True, 0, msn)


def is_barred(
    msn: str, owners: frozenset[str] | None, owner: str, only: frozenset[str] | None
) -> bool:
    """Whether an owner keeps the unit off this aircraft, or the aircraft takes no unit of that owner."""
    return (owners is not None and owner not in owners) or (only is not None and msn not in only)


def fit_reasons_of(supply: Supply, fits: tuple[Fit, ...], msn: str) -> Reason:
    """Why a supply does not fit on an aircraft."""
    return fit_reasons_of_part(fits, msn, supply.part, supply.standard, supply.hand)


def fit_reasons_of_part(
    fits: tuple[Fit, ...], msn: str, part: str, standard: str, hand: str
) -> Reason:
    """Why a part at a standard does not fit on an aircraft."""
    return fit_reasons(fits_for(fits, msn), part, standard, hand)

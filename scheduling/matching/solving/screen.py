"""Every reason against many pairs at once: the twin, in columns, of ``why_not``."""

from __future__ import annotations

from typing import Any

import numpy as np

from scheduling.matching.facts.book import NO_WAY
from scheduling.matching.facts.columns import UNKNOWN, Columns, Ints, pair_codes
from scheduling.matching.facts.lasting import last_days
from scheduling.matching.facts.reasons import Reason


def reason_bits(columns: Columns, need: Any, supply: Any) -> Ints:
    """The reasons against each pair of rows as bits, 0 where the unit may cover the need.

    ``need`` and ``supply`` are arrays of rows of one shape, or of shapes that broadcast: a column
    of needs against a row of supplies judges each with each.
    """
    bits = columns.related.fit[columns.needs.slot[need], columns.supplies.article[supply]]
    bits = bits | _life(columns, need, supply) | _own_state(columns, supply)
    bits |= _arrival(columns, need, supply)
    bits |= _claims(columns, need, supply)
    bits |= _dual_release(columns, need, supply)
    too_few = columns.supplies.quantity[supply] < columns.needs.quantity[need]
    return bits | _flag(too_few, Reason.TOO_FEW_PIECES)


def _flag(which: Any, reason: Reason) -> Any:
    return np.where(which, np.int32(reason), np.int32(0))


def _life(columns: Columns, need: Any, supply: Any) -> Any:
    needs, supplies = columns.needs, columns.supplies
    lasts, on = last_days(columns, need, supply), needs.on[need]
    known = lasts != UNKNOWN
    asked = needs.least_days[need]
    return (
        _flag(~known, Reason.LIFE_NOT_KNOWN)
        | _flag(known & (lasts < needs.until[need]), Reason.LIFE_ENDS_EARLY)
        | _flag(known & (asked > 0) & (lasts < on + asked), Reason.TOO_LITTLE_LIFE)
        | _flag(supplies.shelf_until[supply] < on, Reason.SHELF_LIFE_OVER)
    )


def _own_state(columns: Columns, supply: Any) -> Any:
    supplies = columns.supplies
    return (
        _flag(supplies.is_quarantined[supply], Reason.IN_QUARANTINE)
        | _flag(~supplies.is_serviceable[supply], Reason.UNSERVICEABLE)
        | _flag(~supplies.has_certificate[supply], Reason.NO_CERTIFICATE)
        | _flag(supplies.free_from[supply] == UNKNOWN, Reason.ARRIVAL_NOT_KNOWN)
        | _flag(supplies.needs_decision[supply], Reason.NEEDS_DECISION)
    )


def _dual_release(columns: Columns, need: Any, supply: Any) -> Any:
    """Without any certificate that is what is said."""
    supplies = columns.supplies
    has_one = supplies.has_certificate[supply] & ~supplies.has_dual[supply]
    return _flag(columns.needs.asks_dual[need] & has_one, Reason.NO_DUAL_RELEASE)


def _arrival(columns: Columns, need: Any, supply: Any) -> Any:
    """Without a known day of leaving nothing more is said; dangerous goods that would be late on any
    way are late, those that only the permitted way makes late say so."""
    supplies = columns.supplies
    free, on = supplies.free_from[supply], columns.needs.on[need]
    known, dangerous = free != UNKNOWN, supplies.is_dangerous[supply]
    days = columns.related.days[
        dangerous.astype(np.intp), supplies.station[supply], columns.needs.station[need]
    ]
    late = known & (free + days > on)
    from_the_start = known & (free > on)
    stuck = ~dangerous & (days == NO_WAY)
    return (
        _flag(known & stuck, Reason.NO_WAY_THERE)
        | _flag(from_the_start | (late & ~dangerous & ~stuck), Reason.ARRIVES_LATE)
        | _flag(late & dangerous & ~from_the_start, Reason.DANGEROUS_GOODS_LATE)
    )


def _claims(columns: Columns, need: Any, supply: Any) -> Any:
    needs, supplies = columns.needs, columns.supplies
    need_uid, supply_uid = needs.uid[need], supplies.uid[supply]
    reserved, held, locked = supplies.reserved[supply], supplies.locked[supply], needs.locked[need]
    elsewhere = ((held >= 0) & (held != need_uid)) | ((locked >= 0) & (locked != supply_uid))
    barred = columns.related.barred[needs.taker[need], supplies.terms[supply]]
    bits = (
        _flag((reserved >= 0) & (reserved != need_uid), Reason.RESERVED_FOR_ANOTHER)
        | _flag(elsewhere, Reason.LOCKED_TO_ANOTHER)
        | _flag(barred, Reason.OWNER_RESTRICTION)
        | _flag(supplies.return_by[supply] < needs.until[need], Reason.RETURN_DUE)
    )
    if _some_forbidden(columns, need_uid):
        codes = pair_codes(need_uid, supply_uid)
        at = np.searchsorted(columns.forbidden, codes)
        found = columns.forbidden[np.minimum(at, len(columns.forbidden) - 1)] == codes
        bits = bits | _flag(found, Reason.FORBIDDEN)
    return bits


def _some_forbidden(columns: Columns, need_uid: Any) -> bool:
    """Most needs have no forbidden unit, and looking for one costs as much as all other rules."""
    return len(columns.forbidden) > 0 and bool(np.isin(need_uid, columns.forbidden >> 32).any())

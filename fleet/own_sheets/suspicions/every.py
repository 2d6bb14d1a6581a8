"""Every suspicion of an own spreadsheet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence

from fleet.own_sheets.house import House
from fleet.own_sheets.reading.sheets import OwnSheet
from fleet.own_sheets.said import Said
from fleet.own_sheets.unit import Seen

from . import facts, identity, stamps
from .doubt import Doubt

_CHECKS: tuple[Callable[..., Doubt], ...] = (
    identity.no_serial,
    identity.on_two,
    identity.lost_zero,
    identity.part_in_ways,
    identity.shared_place,
    facts.past_its_life,
    facts.to_come,
    facts.unreadable,
    facts.no_value,
    facts.falling_totals,
    facts.no_day,
    stamps.unreadable_stamps,
    stamps.stamps_that_differ,
    facts.remarks,
    facts.marks,
)


def doubts_in(
    seen: Sequence[Seen], sheets: Sequence[OwnSheet], house: House, said: Said, day: dt.date
) -> list[Doubt]:
    """Every suspicion that has a line, those that keep a line out first."""
    found = [check(seen, sheets, house, said, day) for check in _CHECKS]
    taken = set(said.taken)
    for doubt in found:
        doubt.lines = [line for line in doubt.lines if f"{doubt.code} {line.key}" not in taken]
    return sorted((doubt for doubt in found if doubt.lines), key=lambda doubt: not doubt.is_left)

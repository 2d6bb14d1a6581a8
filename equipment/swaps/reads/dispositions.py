"""What must be said of a life-limited unit that came off: part, serial, life used and left."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from equipment.ledger.nesting import inside_now
from equipment.models import Movement, Unit
from equipment.swaps.ports import life_status_of

from .rows import SwapRows


def dispositions_of(rows: SwapRows, at: datetime) -> list[dict[str, Any]]:
    """One for each limit of the life of the unit that came off, and of each unit inside it.

    None where the same unit went back on the same aircraft and no time was flown meanwhile
    (14 CFR 43.10(b)).
    """
    off = rows.off
    if off is None or not needs_disposition(rows):
        return []
    units = Unit.objects.filter(pk__in=inside_now([off.unit_id])[off.unit_id])
    return [
        {"part": unit.part_number.number, "serial": unit.serial_number, **told}
        for unit in units.select_related("part_number").order_by("pk")
        for told in life_status_of(unit.pk, at)
    ]


def disposition_words(told: Mapping[str, Any]) -> str:
    """``HS-1 S/N 7: BT-LIFE life of the bottle, 4 000 cycles used, 380 left.``"""
    unit = f" {told['unit']}" if told.get("unit") else ""
    used, left = told.get("used", "not known"), told.get("left", "not known")
    return (
        f"{told.get('part', '')} S/N {told.get('serial', '')}: {told.get('limit', '')}, "
        f"{used}{unit} used, {left} left."
    )


def needs_disposition(rows: SwapRows) -> bool:
    """Whether the unit that came off stays off, or the aircraft flew without it."""
    off, on = rows.off, rows.on
    if off is None or on is None or off.unit_id != on.unit_id:
        return off is not None
    return _may_have_flown(off, on)


def _may_have_flown(off: Movement, on: Movement) -> bool:
    """By the totals as read; where none were read, unless both were on one day."""
    read = [
        (getattr(off, name), getattr(on, name)) for name in ("aircraft_minutes", "aircraft_cycles")
    ]
    known = [(before, after) for before, after in read if before is not None and after is not None]
    if known:
        return any(before != after for before, after in known)
    return off.happened_at.date() != on.happened_at.date()

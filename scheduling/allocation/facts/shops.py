"""When units come back from the shop: promised, or by what the shop usually takes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median
from typing import NamedTuple

from fleet.models import Station

from .reading import rows

LEAST_RETURNS = 3
SENT = """
SELECT DISTINCT ON (u.id) u.id, lower(s.valid)::date, o.sent_on, o.promised_on, o.works, t.code, (
    SELECT p.promised_on FROM equipment_shoppromise p WHERE p.order_id = o.id
    ORDER BY p.recorded_at DESC, p.id DESC LIMIT 1
), (
    SELECT coalesce(ps.code, ast.code) FROM equipment_stay b
    JOIN equipment_place bp ON bp.id = b.place_id
    LEFT JOIN fleet_station ps ON ps.id = bp.station_id
    LEFT JOIN fleet_aircraftposition ap ON ap.id = bp.aircraft_position_id
    LEFT JOIN fleet_aircraft a ON a.id = ap.aircraft_id
    LEFT JOIN fleet_station ast ON ast.id = a.station_id
    WHERE b.unit_id = u.id AND upper_inf(b.known) AND coalesce(ps.id, ast.id) IS NOT NULL
    ORDER BY lower(b.valid) DESC LIMIT 1
)
FROM unnest(%(units)s::bigint[]) AS asked (id)
JOIN equipment_unit u ON u.id = asked.id
LEFT JOIN equipment_stay s ON s.unit_id = u.id AND s.place_id = u.place_id AND upper_inf(s.known)
LEFT JOIN equipment_shoporder o ON o.unit_id = u.id
    AND NOT EXISTS (SELECT 1 FROM equipment_shopreturn r WHERE r.order_id = o.id)
LEFT JOIN fleet_station t ON t.id = o.station_id
ORDER BY u.id, lower(s.valid) DESC NULLS LAST, o.sent_on DESC NULLS LAST, o.id DESC
"""
TURNS = """
SELECT u.part_number_id, r.returned_on - o.sent_on
FROM equipment_shopreturn r JOIN equipment_shoporder o ON o.id = r.order_id
JOIN equipment_unit u ON u.id = o.unit_id WHERE r.how = 'done'
"""


class SentRow(NamedTuple):
    unit_id: int
    since: date | None
    sent_on: date | None
    promised_on: date | None
    works: list[str] | None
    station: str | None
    later_promise: date | None
    came_from: str | None


class TurnRow(NamedTuple):
    part_id: int
    days: int


@dataclass(frozen=True, slots=True)
class AtShop:
    """A unit at the shop. ``back_on`` None: its day has passed, and nobody has promised another."""

    back_on: date | None
    station: str
    works: frozenset[str]
    turn_days: int
    is_promised: bool


def at_shop(unit_ids: Iterable[int], turn_of: dict[int, int], as_of: date) -> dict[int, AtShop]:
    """Units at the shop, by ``turn_of`` each one's usual days there. Two questions."""
    base = home_station()
    found = {}
    for row in rows(SentRow, SENT, {"units": sorted(unit_ids)}):
        turn = turn_of[row.unit_id]
        promised = row.later_promise or row.promised_on
        sent = row.sent_on or row.since
        back = promised or (sent and sent + timedelta(days=turn))
        found[row.unit_id] = AtShop(
            back_on=back if back and back >= as_of else None,
            station=row.station or row.came_from or base,
            works=frozenset(row.works or ()),
            turn_days=turn,
            is_promised=promised is not None,
        )
    return found


def home_station() -> str:
    """Where what comes from nowhere in particular comes to: the first maintenance base. One question."""
    bases = Station.objects.order_by("-is_maintenance_base", "pk").values_list("code", flat=True)
    return bases.first() or ""


def learned_turns() -> dict[int, int]:
    """Days at the shop by part, out of its own returns: the middle of three or more. One question."""
    days: dict[int, list[int]] = {}
    for row in rows(TurnRow, TURNS, {}):
        days.setdefault(row.part_id, []).append(row.days)
    return {part: round(median(each)) for part, each in days.items() if len(each) >= LEAST_RETURNS}

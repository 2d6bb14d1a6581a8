"""The kinds of sheet that bring stations, aircraft types, aircraft and what becomes of them."""

from __future__ import annotations

from . import aircraft, checks, layout, standing, stations, types

SHEETS = (
    *stations.SHEETS,
    *types.SHEETS,
    *layout.SHEETS,
    *aircraft.SHEETS,
    *standing.SHEETS,
    *checks.SHEETS,
)

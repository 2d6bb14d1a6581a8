"""Limits of places and of whole aircraft: what is inspected there, whatever unit is fitted."""

from __future__ import annotations

from ..layouts import POSITIONS
from .shape import HOUR, Amount, Clock, Limit, from_reference, months

DOOR_POSITIONS = sorted(
    {spot.code for spots in POSITIONS.values() for spot in spots if spot.kind in {"SLIDE", "RAFT"}}
)
PLACES = [
    Limit(
        "DOOR-GIRT",
        "Girt bar fittings at the door, inspection",
        "INSPECT",
        [months(24, first_from="given_date", given_on=from_reference(-700))],
        "VAR-MP-52-130",
        "7",
        subject="position",
        positions=DOOR_POSITIONS,
    ),
    Limit(
        "ELS-TEST",
        "Emergency lighting system test, ten minutes",
        "FUNCTION",
        [
            Clock(
                "FH", [Amount(3000 * HOUR)], first_from="given_date", given_on=from_reference(-700)
            ),
            months(12, first_from="given_date", given_on=from_reference(-700)),
        ],
        "VAR-MP-33-500",
        "7",
        subject="aircraft",
        variation_minutes=150 * HOUR,
        variation_days=10,
    ),
]

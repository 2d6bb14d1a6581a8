"""What the doors beside a swap take: tags, fillings, discharges, reservations."""

from __future__ import annotations

from typing import Any

from equipment.availability.acts.fillings import RECORD_DISCHARGE, RECORD_FILLING
from equipment.availability.acts.reservations import RESERVE_UNIT
from equipment.availability.acts.tag_facts import TagFact
from equipment.common.doors.fields import Measured
from equipment.common.doors.requests import PlaceSent
from fleet.doors.requests import act_request_of, request_of

TagSent = request_of(
    TagFact, "TagSent", "How a unit is tagged, and what whoever gets it must know."
)


def _readings() -> dict[str, Any]:
    """What was read of a bottle, with its unit or without."""
    return {
        "pressure": Measured(
            "psi", help_text="As read after it, such as 207 bar; without a unit: psi."
        ),
        "temperature": Measured(
            "°F", help_text="Of the bottle then, such as 21 °C; without a unit: °F."
        ),
    }


FillingSent = act_request_of(RECORD_FILLING, "FillingSent", **_readings())
DischargeSent = act_request_of(
    RECORD_DISCHARGE,
    "DischargeSent",
    "A slide was inflated, or a bottle discharged.",
    **_readings(),
)
ReservationSent = act_request_of(
    RESERVE_UNIT,
    "ReservationSent",
    place=PlaceSent(help_text="The position that it is for."),
)

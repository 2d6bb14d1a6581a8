"""The positions of each aircraft type's layout."""

from __future__ import annotations

from typing import Any

from fleet.aircraft.acts.standing import give_aircraft_their_positions
from fleet.intake.columns import CHOICE, CODE, COUNT, SIGNED
from fleet.intake.registry import Column, SheetKind
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain
from fleet.models import TypePosition


def bring_layout(batch: Batch) -> None:
    values = {
        "aircraft_type_id": lookups.types(batch),
        "code": batch["code"],
        "name": batch["name"],
        "kind_id": lookups.kinds(batch),
        "zone": batch["zone"],
        "access_group": batch["access_group"],
        "side": batch["side"],
        "capacity": batch["capacity"],
        "x_cm": [_whole(number) for number in batch["x_cm"]],
        "y_cm": [_whole(number) for number in batch["y_cm"]],
    }
    for line in batch.good:
        if values["capacity"][line] is not None and not 1 <= values["capacity"][line] <= 10_000:
            batch.refuse(
                line,
                "capacity",
                "no_capacity",
                "A position holds at least one. Write 1 or more, or leave it blank.",
            )
    drawn = ("name", "zone", "access_group", "side", "x_cm", "y_cm")
    if bring_plain(
        batch, TypePosition, key=("aircraft_type_id", "code"), values=values, may_change=drawn
    ):
        give_aircraft_their_positions(by=batch.bringing.by)


def _whole(number: Any) -> int | None:
    return None if number is None else round(number)


LAYOUT = SheetKind(
    "Layout positions",
    "The positions of each aircraft type's layout: where on the plan, and what kind of unit goes there.",
    30,
    "enter_fleet_data",
    (
        Column(
            "Aircraft type", "aircraft_type", CODE, True, "Code of the type.", ("type",), most=24
        ),
        Column(
            "Position",
            "code",
            CODE,
            True,
            "Code of the position as on the operator's documents.",
            ("position code", "code"),
            most=32,
        ),
        Column(
            "Name",
            "name",
            needed=True,
            meaning="Its name in words.",
            aliases=("position name", "description"),
        ),
        Column("Kind", "kind", CODE, True, "Code of the kind of unit that goes there.", most=24),
        Column("Zone", "zone", meaning="Zone of the aircraft.", most=16),
        Column(
            "Access group",
            "access_group",
            meaning="Positions that are opened by the same access.",
            aliases=("access",),
            most=24,
        ),
        Column(
            "Side",
            "side",
            CHOICE,
            meaning="left, right or centre; blank: centre.",
            choices=dict(TypePosition.SIDES),
        ),
        Column("Capacity", "capacity", COUNT, meaning="How many units it holds; blank: 1."),
        Column("X (cm)", "x_cm", SIGNED, True, "From the nose, centimetres.", ("x",)),
        Column(
            "Y (cm)",
            "y_cm",
            SIGNED,
            True,
            "From the centre line, centimetres, left is negative.",
            ("y",),
        ),
    ),
    bring_layout,
    [
        ["EX-100", "D1L", "Door 1 left slide", "EXSLIDE", "100", "", "left", 1, 560, -170],
        ["EX-100", "D1R", "Door 1 right slide", "EXSLIDE", "100", "", "right", 1, 560, 170],
    ],
    aliases=("Layout", "Positions"),
)


SHEETS = (LAYOUT,)

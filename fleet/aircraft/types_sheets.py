"""Stations, kinds of equipment, aircraft types and the positions of their layout."""

from __future__ import annotations

import json
import zoneinfo
from typing import Any

from fleet.aircraft.acts.standing import give_aircraft_their_positions
from fleet.intake.columns import CHOICE, CODE, COUNT, LIST, SIGNED, YES_NO
from fleet.intake.registry import Column, SheetKind
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain
from fleet.models import AircraftType, Kind, Station, TypePosition


def bring_stations(batch: Batch) -> None:
    known = zoneinfo.available_timezones()
    for line in batch.good:
        zone = batch["time_zone"][line]
        if zone is not None and zone not in known:
            batch.refuse_unknown(line, "time_zone", zone, known, "zone", of="of time")
    fields = ("code", "name", "time_zone", "is_maintenance_base", "abilities")
    bring_plain(
        batch,
        Station,
        key=("code",),
        values={name: batch[name] for name in fields},
        may_change=fields[1:],
    )


def bring_kinds(batch: Batch) -> None:
    fields = ("code", "name", "chapter")
    bring_plain(
        batch,
        Kind,
        key=("code",),
        values={name: batch[name] for name in fields},
        may_change=fields[1:],
    )


def bring_types(batch: Batch) -> None:
    plans: list[Any] = [_drawing(batch, line) for line in range(len(batch))]
    values = {"code": batch["code"], "name": batch["name"], "plan": plans}
    bring_plain(batch, AircraftType, key=("code",), values=values, may_change=("name", "plan"))


def _drawing(batch: Batch, line: int) -> Drawing | None:
    text = batch["plan"][line]
    if text is None:
        return None
    try:
        drawn = json.loads(text)
    except ValueError as error:
        drawn = error
    if isinstance(drawn, dict) and {"length", "width"} <= set(drawn):
        return Drawing(drawn)
    if batch.is_good(line):
        batch.refuse(
            line,
            "plan",
            "not_a_drawing",
            "The drawing is not JSON with at least length and width. Write for example "
            '{"length": 3760, "width": 395} in centimetres, or leave it blank.',
        )
    return None


class Drawing(dict[str, Any]):
    """Drawing data that can be compared as a value."""

    def __hash__(self) -> int:  # type: ignore[override]
        return hash(json.dumps(self, sort_keys=True))


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


STATIONS = SheetKind(
    "Stations",
    "Airports and hangars, with their zone of time and what they are able to do.",
    10,
    "enter_fleet_data",
    (
        Column("Code", "code", CODE, True, "Short code of the station.", ("station",), most=8),
        Column("Name", "name", needed=True, meaning="Its name."),
        Column(
            "Time zone",
            "time_zone",
            needed=True,
            meaning="Name of its zone as in the IANA list, such as Europe/London.",
            aliases=("zone",),
            most=40,
        ),
        Column(
            "Maintenance base",
            "is_maintenance_base",
            YES_NO,
            meaning="Whether checks are done there.",
            aliases=("base",),
        ),
        Column(
            "Abilities",
            "abilities",
            LIST,
            meaning="Codes of the works it is able to do; blank: all.",
        ),
    ),
    bring_stations,
    [
        ["QEX1", "Example Field", "Europe/Lisbon", "yes", ""],
        ["QEX2", "Example Bay", "America/Halifax", "no", "EXCHANGE, WEIGH"],
    ],
)

KINDS = SheetKind(
    "Kinds",
    "Kinds of equipment, which are also the kinds of position that take it.",
    10,
    "enter_fleet_data",
    (
        Column("Code", "code", CODE, True, "Short code of the kind.", ("kind",), most=24),
        Column("Name", "name", needed=True, meaning="Its name, such as door slide."),
        Column(
            "Chapter",
            "chapter",
            CODE,
            meaning="Chapter and section of the operator's documents.",
            most=8,
        ),
    ),
    bring_kinds,
    [
        ["EXSLIDE", "Door slide (example)", "25-66"],
        ["EXBOTTLE", "Inflation bottle (example)", "25-66"],
    ],
)

AIRCRAFT_TYPES = SheetKind(
    "Aircraft types",
    "Aircraft types. The cabin is drawn from the drawing's data.",
    20,
    "enter_fleet_data",
    (
        Column(
            "Code",
            "code",
            CODE,
            True,
            "Short code of the type.",
            ("type", "aircraft type"),
            most=24,
        ),
        Column("Name", "name", needed=True, meaning="Its name."),
        Column(
            "Drawing",
            "plan",
            meaning="Data of the cabin's drawing in JSON, centimetres; may be blank.",
            aliases=("plan",),
            most=32_000,
        ),
    ),
    bring_types,
    [["EX-100", "Example 100", '{"length": 3100, "width": 360, "cabin": [500, 2400]}']],
    aliases=("Types",),
)

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

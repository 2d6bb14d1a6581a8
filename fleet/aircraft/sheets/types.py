"""Kinds of equipment and aircraft types."""

from __future__ import annotations

import json
from typing import Any

from fleet.intake.columns import CODE
from fleet.intake.registry import Column, SheetKind
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain
from fleet.models import AircraftType, Kind


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


SHEETS = (KINDS, AIRCRAFT_TYPES)

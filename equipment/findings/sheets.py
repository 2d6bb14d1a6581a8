"""What is open by a document: positions without their unit, defects deferred."""

from __future__ import annotations

from equipment.findings.acts.open_items import open_item
from equipment.findings.acts.openings import ItemOpened, Opening
from equipment.ledger.facts import PlaceAt
from equipment.models import OpenItem, Place
from fleet.house.refusals import Refused
from fleet.intake.columns import CODE
from fleet.intake.registry import Column, SheetKind
from fleet.intake.said import column_of, said_on
from fleet.loading import lookups
from fleet.loading.batch import Batch

_CELL_OF = {"place": "position", "aircraft": "registration"}
_DATED = ("found_on", "expires_on")
_TOLD = ("document", "words", "category", "repeat_actions", "effect")
_CLOCKS = ("repeat_days", "repeat_hours")


def bring_open_items(batch: Batch) -> None:
    """Each line by the act itself, which page and API call alike; the same line again is known."""
    aircraft = lookups.aircraft(batch, "registration")
    positions = lookups.aircraft_positions(batch, aircraft)
    acts = {
        line: batch.bringing.act_id(
            "open item",
            aircraft[line],
            positions[line],
            *(batch[name][line] for name in _DATED),
            *(batch[name][line] for name in _TOLD),
            # Only where there are any: a line brought before there were such columns is the same line.
            *(batch[name][line] for name in _CLOCKS if any(batch[each][line] for each in _CLOCKS)),
        )
        for line in batch.good
    }
    done = set(OpenItem.objects.filter(act_id__in=acts.values()).values_list("act_id", flat=True))
    for line, act in acts.items():
        if act in done:
            batch.know([line])
            continue
        done.add(act)
        try:
            open_item(
                by=batch.bringing.by,
                opening=said_on(Opening, batch.line(line)),
                act_id=act,
                at=batch.bringing.at,
                place=_place(positions[line]),
                aircraft_id=aircraft[line],
            )
        except Refused as refused:
            for each in refused.refusals:
                field = each.field or "registration"
                batch.refuse(line, _CELL_OF.get(field, field), each.code, each.message)


def _place(position: int | None) -> PlaceAt | None:
    if position is None:
        return None
    return PlaceAt(Place.AIRCRAFT, aircraft_position_id=position)


OPEN_ITEMS = SheetKind(
    "Open items",
    "Positions left open and defects deferred: by which document, until when.",
    92,
    "open_item",
    (
        Column(
            "Registration",
            "registration",
            CODE,
            True,
            "Of the aircraft.",
            ("aircraft", "reg"),
            most=10,
        ),
        Column(
            "Position",
            "position",
            CODE,
            meaning="Code of the position left open; blank: a defect of the aircraft.",
            aliases=("position code",),
            most=32,
        ),
        *(
            column_of(ItemOpened, name)
            for name in (
                "words",
                "document",
                "found_on",
                "expires_on",
                "category",
                "repeat_actions",
                "effect",
                "repeat_days",
                "repeat_hours",
            )
        ),
    ),
    bring_open_items,
    [
        [
            "Q-EXA",
            "D1L",
            "Slide removed, door not used",
            "EX-MEL 25-60 revision 3",
            "2026-11-20",
            "2026-11-30",
            "C",
            "Placard before each flight",
            "20 seats blocked",
            "3",
            "",
        ]
    ],
)

SHEETS = (OPEN_ITEMS,)

"""What is open by a document: positions without their unit, defects deferred."""

from __future__ import annotations

from equipment.findings.acts.open_items import Opening, open_item
from equipment.ledger.facts import PlaceAt
from equipment.models import OpenItem, Place
from fleet.house.refusals import Refused
from fleet.intake.columns import CODE, DAY
from fleet.intake.registry import Column, SheetKind
from fleet.loading import lookups
from fleet.loading.batch import Batch

_CELL_OF = {"place": "position", "aircraft": "registration"}
_DATED = ("found_on", "expires_on")
_TOLD = ("document", "words", "category", "repeat_actions", "effect")


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
        )
        for line in batch.good
    }
    done = set(OpenItem.objects.filter(act_id__in=acts.values()).values_list("act_id", flat=True))
    for line, act in acts.items():
        if act in done:
            batch.know([line])
            continue
        done.add(act)
        opening = Opening(
            found_on=batch["found_on"][line],
            expires_on=batch["expires_on"][line],
            **{name: batch[name][line] or "" for name in _TOLD},
        )
        try:
            open_item(
                by=batch.bringing.by,
                opening=opening,
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
        Column(
            "What is open",
            "words",
            needed=True,
            meaning="In words.",
            aliases=("words", "defect"),
            most=200,
        ),
        Column(
            "Document",
            "document",
            needed=True,
            meaning="Document, item and revision that allow it.",
            most=80,
        ),
        Column(
            "Found on",
            "found_on",
            DAY,
            True,
            "The day it was found.",
            ("from", "opened on"),
            has_come=True,
        ),
        Column(
            "Last day",
            "expires_on",
            DAY,
            True,
            "The last day on which it may stay open.",
            ("expires on", "until"),
        ),
        Column("Category", "category", meaning="As the document has it.", most=8),
        Column(
            "Repeated meanwhile",
            "repeat_actions",
            meaning="What is repeated while it is open.",
            most=200,
        ),
        Column(
            "Effect", "effect", meaning="What it means for dispatch (seats, passengers).", most=200
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
        ]
    ],
)

SHEETS = (OPEN_ITEMS,)

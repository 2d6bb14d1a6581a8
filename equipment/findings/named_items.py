"""An open item as a line of a sheet names it: its aircraft, its document and the day it was found."""

from __future__ import annotations

from equipment.models import OpenItem
from fleet.intake.columns import CODE, DAY
from fleet.intake.registry import Column
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.offers.sheet import Named

COLUMNS = (
    Column("Registration", "registration", CODE, True, "Of the aircraft.", ("aircraft",), most=10),
    Column(
        "Open item",
        "open_item",
        needed=True,
        meaning="Document, item and revision that allow it, as on the sheet 'Open items'.",
        aliases=("item",),
    ),
    Column("Found on", "found_on", DAY, True, "The day on which the item was found."),
    Column(
        "What is open",
        "what_is_open",
        meaning="Needed only where two items have the same document and day.",
        most=200,
    ),
)


def find(batch: Batch) -> list[int | None]:
    """The key of each line's item: of one that was extended the latest. Refuses lines that name none, or
    more than one."""
    aircraft = lookups.aircraft(batch, "registration")
    rows = OpenItem.objects.filter(aircraft__in={one for one in aircraft if one}).order_by("pk")
    extended = {row.extends_id for row in rows}
    found: list[int | None] = [None] * len(batch)
    for line in batch.good:
        document = str(batch["open_item"][line]).strip().casefold()
        words = (batch["what_is_open"][line] or "").strip().casefold()
        fits = [
            row.pk
            for row in rows
            if row.aircraft_id == aircraft[line]
            and row.found_on == batch["found_on"][line]
            and row.document.casefold() == document
            and (not words or row.words.casefold() == words)
            and row.pk not in extended
        ]
        if len(fits) == 1:
            [found[line]] = fits
        elif fits:
            several = "Several items have this document and day: say under 'What is open' which."
            batch.refuse(line, "what_is_open", "several_open_items", several)
        else:
            none = "This aircraft has no open item of this document and day. Bring it first."
            batch.refuse(line, "open_item", "unknown_open_item", none)
    return found


ITEM_NAMED = Named(columns=lambda is_needed: COLUMNS, find=find, cell="open_item")

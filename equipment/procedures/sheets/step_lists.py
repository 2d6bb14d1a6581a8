"""Step lists: for a kind of position, or for one part number there."""

from __future__ import annotations

from typing import Any

from equipment.common import lookups
from equipment.models import StepList
from equipment.units.sheets.parts import part_columns
from fleet.intake.columns import CODE, DAY
from fleet.intake.registry import Column, SheetKind
from fleet.loading import lookups as fleet_lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded


def bring_step_lists(batch: Batch) -> None:
    names = ("code", "revision", "title", "document", "document_revision", "from_on")
    values: dict[str, list[Any]] = {
        **{name: batch[name] for name in names},
        "for_work": [work or "" for work in batch["for_work"]],
        "kind_id": fleet_lookups.kinds(batch),
        "part_number_id": lookups.parts(batch),
    }
    bring_plain(batch, StepList, key=("code", "revision"), values=values, fixed=recorded(batch))


STEP_LISTS = SheetKind(
    "Step lists",
    "Lists of steps for a kind of position, or for one part number there. Another revision is another line.",
    43,
    "enter_procedures",
    (
        Column("List", "code", CODE, True, "Code of the list.", ("step list", "code"), most=32),
        Column("Revision", "revision", CODE, True, "Revision of the list.", ("rev",), most=24),
        Column("Title", "title", needed=True, meaning="What is done by it.", most=120),
        Column("Kind", "kind", CODE, True, "Code of the kind of position.", most=24),
        *part_columns(needed=False),
        Column(
            "Document", "document", needed=True, meaning="The approved document it is taken from."
        ),
        Column("Document revision", "document_revision", CODE, True, "Its revision.", most=24),
        Column(
            "From",
            "from_on",
            DAY,
            True,
            "The first day on which it is used.",
            ("from on", "valid from"),
        ),
        Column(
            "For work",
            "for_work",
            CODE,
            meaning="Code of the work done in place by it; blank: it is a change.",
            most=32,
        ),
    ),
    bring_step_lists,
    [["EX-STEPS", "1", "Example change", "EXSLIDE", "", "", "EX-CM-1", "1", "2024-01-01", ""]],
)

SHEETS = (STEP_LISTS,)

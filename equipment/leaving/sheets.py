"""What the papers of a shipment say of a part number: the operator's data."""

from __future__ import annotations

from typing import Any

from equipment.common import lookups
from equipment.models import DangerousGoods
from fleet.intake.columns import CODE
from fleet.intake.registry import Column, SheetKind
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain

SAID = ("un_number", "hazard_class", "quantity", "packing", "document")


def bring_goods(batch: Batch) -> None:
    values: dict[str, list[Any]] = {"part_number_id": lookups.parts(batch)}
    values |= {name: [each or "" for each in batch[name]] for name in SAID}
    bring_plain(batch, DangerousGoods, key=("part_number_id",), values=values, may_change=SAID)


GOODS = SheetKind(
    "Dangerous goods",
    "What the papers of a shipment say of a part number that is dangerous goods.",
    48,
    "enter_part_data",
    (
        Column(
            "Maker", "maker", CODE, meaning="May be blank where one maker only has the part number."
        ),
        Column("Part number", "part", CODE, True, "The part number.", ("P/N", "part"), most=40),
        Column("UN number", "un_number", needed=True, meaning="As 1013.", most=8),
        Column("Class", "hazard_class", needed=True, meaning="Class or division, as 2.2.", most=8),
        Column("Quantity", "quantity", needed=True, meaning="Of one piece, as 1.4 kg.", most=40),
        Column("Packing", "packing", needed=True, meaning="How it is packed.", most=120),
        Column("Document", "document", meaning="The operator's own.", most=80),
    ),
    bring_goods,
    [["EXMKR", "EX-20", "1013", "2.2", "1.4 kg", "One wooden box, valve guarded", "EX-DG-1"]],
)

SHEETS = (GOODS,)

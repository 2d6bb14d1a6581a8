"""What the way in asks the apps above of an own spreadsheet: what is on record, and what is reckoned."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from fleet.house.ports import Port
from fleet.own_sheets.beside.claims import Claim, Reckoned
from fleet.own_sheets.gathered import OnRecord
from fleet.own_sheets.stamped import StampSaid, StampTold

#: Asked with part numbers: who makes them on record, and where their units stand.
equipment_on_record: Port[[set[str]], OnRecord] = Port(
    "what is on record of the part numbers of an own spreadsheet"
)
#: Asked with the sheet's next dates and the day, inside the transaction that has brought its lines
#: in; the answers in the same order, None where no limit asks for that work.
reckoned_beside: Port[[Sequence[Claim], date], list[Reckoned | None]] = Port(
    "what is reckoned of the next dates of an own spreadsheet"
)
#: Asked with the texts of one cylinder's stamp: what they mean, why not, and which published period they choose.
stamp_told: Port[[StampSaid], StampTold] = Port(
    "what is stamped on a cylinder of an own spreadsheet"
)

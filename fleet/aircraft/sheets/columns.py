"""Columns that several sheets of aircraft share."""

from __future__ import annotations

from fleet.intake.columns import CODE, DAY
from fleet.intake.registry import Column

FROM = Column("From", "from_on", DAY, True, "From this day on.", ("from date", "date", "since"))
STATION = Column("Station", "station", CODE, True, "Code of the station.", ("base",), most=8)

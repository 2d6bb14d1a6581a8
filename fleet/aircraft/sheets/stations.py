"""Stations."""

from __future__ import annotations

import zoneinfo

from fleet.intake.columns import CODE, LIST, YES_NO
from fleet.intake.registry import Column, SheetKind
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain
from fleet.models import Station


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


SHEETS = (STATIONS,)

"""The aircraft themselves."""

from __future__ import annotations

from fleet.aircraft.acts.standing import give_aircraft_their_positions
from fleet.intake.columns import CODE, DAY
from fleet.intake.registry import Column, SheetKind
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain
from fleet.models import Aircraft


def bring_aircraft(batch: Batch) -> None:
    types = lookups.types(batch)
    _refuse_msn_taken(batch, types)
    values = {
        "registration": batch["registration"],
        "msn": batch["msn"],
        "aircraft_type_id": types,
        "station_id": lookups.stations(batch),
        "manufactured_on": batch["manufactured_on"],
    }
    # the dated facts move these two on, so what the sheet says of them holds for new aircraft only
    station_now = dict(Aircraft.objects.values_list("registration", "station_id"))
    values["station_id"] = [
        station_now.get(registration, station)
        for registration, station in zip(values["registration"], values["station_id"], strict=True)
    ]
    if bring_plain(
        batch, Aircraft, key=("registration",), values=values, may_change=("manufactured_on",)
    ):
        give_aircraft_their_positions(by=batch.bringing.by)


def _refuse_msn_taken(batch: Batch, types: list[int | None]) -> None:
    taken: dict[tuple[int | None, str], str] = {
        (type_id, msn): registration
        for type_id, msn, registration in Aircraft.objects.values_list(
            "aircraft_type_id", "msn", "registration"
        )
    }
    for line in batch.good:
        registration = batch["registration"][line]
        if batch["msn"][line] is None:
            continue
        owner = taken.setdefault((types[line], batch["msn"][line]), registration)
        if owner != registration and types[line] is not None:
            batch.refuse(
                line,
                "msn",
                "one_aircraft_of_this_type_and_msn",
                f"{owner} has this MSN already. Check the MSN, or the registration.",
            )


AIRCRAFT = SheetKind(
    "Aircraft",
    "The aircraft. Each has all positions of its type's layout unless 'Position states' says otherwise.",
    40,
    "enter_fleet_data",
    (
        Column(
            "Registration",
            "registration",
            CODE,
            True,
            "Registration.",
            ("reg", "tail", "aircraft"),
            most=10,
        ),
        Column(
            "MSN",
            "msn",
            CODE,
            False,
            "Manufacturer's serial number; blank: not known.",
            ("manufacturer's serial number", "serial number"),
            most=24,
        ),
        Column(
            "Aircraft type", "aircraft_type", CODE, True, "Code of the type.", ("type",), most=24
        ),
        Column(
            "Station",
            "station",
            CODE,
            True,
            "Station it belongs to; later changes go into 'Aircraft stations'.",
            ("base",),
            most=8,
        ),
        Column(
            "Manufactured on",
            "manufactured_on",
            DAY,
            meaning="Day of manufacture.",
            aliases=("manufactured", "date of manufacture"),
            has_come=True,
        ),
    ),
    bring_aircraft,
    [["Q-EXA", "9001", "EX-100", "QEX1", "2015-06-30"], ["Q-EXB", "9002", "EX-100", "QEX1", ""]],
    aliases=("Fleet",),
)


SHEETS = (AIRCRAFT,)

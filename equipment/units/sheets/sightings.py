"""Sightings: what somebody read on a unit in its place."""

from __future__ import annotations

from typing import Any

from equipment.common import lookups
from equipment.keeping.sheets.corrections import _BESIDE, _seen
from equipment.keeping.sheets.known import Lines
from equipment.keeping.sheets.named_places import when_of
from equipment.keeping.sheets.strict import record_strictly
from equipment.ledger.facts import PlaceAt, SightingFact
from equipment.models import Place
from equipment.units.acts.sightings import record_sightings
from fleet.house.pages import zone as zone_of_today
from fleet.intake.columns import CODE, INSTANT
from fleet.intake.registry import Column, SheetKind, unit_columns
from fleet.intake.said import columns_of
from fleet.loading import lookups as fleet_lookups
from fleet.loading.batch import Batch


def bring_sightings(batch: Batch) -> None:
    units = lookups.units(batch)
    aircraft = fleet_lookups.aircraft(batch)
    positions = fleet_lookups.aircraft_positions(batch, aircraft)
    told = (
        "part",
        "serial",
        "seen_on",
        "aircraft",
        "position",
        "part_number_read",
        "serial_number_read",
    )
    about = [(unit,) for unit in units]
    said: dict[str, list[Any]] = {name: batch[name] for name in _BESIDE}
    said["expiry_read"] = [each and each.on for each in batch["expiry_read"]]
    acts = Lines(batch, "sighting", told, about, said, _seen).new_acts()
    rows: dict[int, SightingFact] = {}
    for line in batch.good:
        craft, position, expiry = aircraft[line], positions[line], batch["expiry_read"][line]
        zone = fleet_lookups.zones_of_aircraft(batch)[craft] if craft else str(zone_of_today())
        names = ("part_number_read", "serial_number_read", "gauge_read", "pin_read", "note")
        read: dict[str, Any] = {name: batch[name][line] or "" for name in names}
        rows[line] = SightingFact(
            act_id=acts[line],
            when=when_of(batch["seen_on"][line], zone),
            place=PlaceAt(Place.AIRCRAFT, aircraft_position_id=position) if position else None,
            unit_id=units[line],
            expiry_read=expiry.on if expiry else None,
            **read,
        )
    bringing = batch.bringing
    record_strictly(
        batch,
        rows,
        lambda facts: record_sightings(by=bringing.by, rows=facts, at=bringing.at),
        {"unit": "serial", "place": "position", "seen_at": "seen_on", "happened_on": "seen_on"},
    )
    batch.touch()


SIGHTINGS = SheetKind(
    "Sightings",
    "What somebody read on a unit in its place. It moves nothing and is reconciled later.",
    90,
    "record_sighting",
    (
        Column(
            "Seen on",
            "seen_on",
            INSTANT,
            True,
            "Date, with the time if known.",
            ("date", "seen at"),
        ),
        Column(
            "Aircraft",
            "aircraft",
            CODE,
            meaning="Registration.",
            aliases=("registration", "reg"),
            most=10,
        ),
        Column(
            "Position",
            "position",
            CODE,
            meaning="Code of the position.",
            aliases=("position code",),
            most=32,
        ),
        *unit_columns(needed=False),
        *columns_of(SightingFact),
    ),
    bring_sightings,
    [
        [
            "2026-11-20 10:15",
            "Q-EXA",
            "D1L",
            "EXMKR",
            "EX-10",
            "S0001",
            "EX-10",
            "S0001",
            "",
            "in the green",
            "in",
            "",
        ]
    ],
)

SHEETS = (SIGHTINGS,)

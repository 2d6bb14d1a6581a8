"""A walk-round: what is really at each position of an aircraft, or of one of its zones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from equipment.common.doors.examples import PLACE_SENT
from equipment.common.texts import derived_act_id
from equipment.common.wording import PLACE_PARTS
from equipment.findings.walk.compare import Finding, findings, unit_seen
from equipment.findings.walk.record import position_of, units_named
from equipment.findings.walk.seen import Look, Seen, WalkBegun
from equipment.keeping.places import place_ids
from equipment.ledger.facts import PlaceAt, SightingFact, When
from equipment.models import Discrepancy, Place, Sighting, WalkRound
from equipment.units.acts.sightings import READ, record_sightings
from fleet.acts.act import Act
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import Aircraft, Station, TypePosition, User

from .looked_at import lock_finding, refuse_unkept

#: How a sighting says that nothing (more) was there.
NOTHING = "Nothing there"
MOST_WORDS = 400
_LONGEST = {
    "part_number_read": 40,
    "serial_number_read": 40,
    "gauge_read": 40,
    "pin_read": 40,
    "note": 180,
}


@dataclass(frozen=True, slots=True)
class Sighted:
    """What was kept of one look at a position, and what it found to differ; each difference is made once."""

    sighting: Sighting
    discrepancies: tuple[Discrepancy, ...]
    is_new: bool = True


@transaction.atomic
def start_walk_round(
    *, by: User, aircraft_id: int, zone: str, station_id: int, act_id: UUID, at: datetime
) -> WalkRound:
    """This will begin a walk-round of an aircraft, or of one zone of it; the same act gives the first.

    Refuses an unknown aircraft, station or zone.
    """
    ask(by, "walk_round")
    told = {"aircraft_id": aircraft_id, "zone": zone, "station_id": station_id}
    rows = WalkRound.objects.filter(act_id=act_id)
    if done := done_before(act_id, "start_walk_round", told, rows, by=by, at=at):
        return done
    aircraft = Aircraft.objects.filter(pk=aircraft_id).first()
    if aircraft is None:
        raise Refused(
            "unknown_aircraft", "There is no such aircraft: look it up again.", "aircraft"
        )
    if not Station.objects.filter(pk=station_id).exists():
        raise Refused("unknown_station", "Say at which station it is done.", "station")
    layout = TypePosition.objects.filter(aircraft_type=aircraft.aircraft_type_id)
    zone = zone.strip()
    if zone and not layout.filter(zone=zone).exists():
        zones = sorted(set(layout.exclude(zone="").values_list("zone", flat=True)))
        said = f" Its zones are: {', '.join(zones)}." if zones else " It has no zones."
        raise Refused("unknown_zone", f"{aircraft} has no zone “{zone[:16]}”.{said}", "zone")
    return WalkRound.objects.create(
        act_id=act_id,
        aircraft=aircraft,
        zone=zone,
        station_id=station_id,
        started_at=at,
        started_by=by,
    )


@transaction.atomic
def see_position(
    *,
    by: User,
    walk_round_id: int,
    place: int | PlaceAt,
    seen: Seen,
    act_id: UUID,
    at: datetime,
    sender_at: datetime | None = None,
) -> Sighted:
    """This will keep what was read at a position and note what differs from the record, each once.

    It moves nothing. ``sender_at`` is taken for the moment it was seen, where it lies between the
    start of the walk-round and ``at``. Refuses an unknown walk-round, a position of another
    aircraft or zone, nothing read, and an empty position with a plate read.
    """
    ask(by, "walk_round")
    [key] = place_ids([place])
    told = {"walk_round_id": walk_round_id, "place": key, "seen": seen}
    rows = Sighting.objects.filter(act_id=act_id)
    if done := done_before(act_id, "see_position", told, rows, by=by, at=at, sender_at=sender_at):
        noted = Discrepancy.objects.filter(sighting=done).order_by("pk")
        return Sighted(done, tuple(noted), is_new=False)
    _refuse_unread(seen)
    walk_round = _walk_round(walk_round_id)
    there = _place_on(walk_round, key)
    lock_finding(f"place {there.pk}")
    is_then = sender_at is not None and walk_round.started_at <= sender_at <= at
    seen_at = sender_at if is_then and sender_at is not None else at
    found = _look(walk_round, there, seen, seen_at)
    sighting = _keep(walk_round, there, seen, found, by=by, act_id=act_id, at=at, seen_at=seen_at)
    made = _note_each(walk_round, there, sighting, found.differences, by=by)
    return Sighted(sighting, tuple(made))


@dataclass(frozen=True, slots=True)
class _Look:
    """What a look at a position came to: the unit that was seen, if it is known, and what differs."""

    unit_id: int | None
    differences: list[Finding]


def _look(walk_round: WalkRound, place: Place, seen: Seen, seen_at: datetime) -> _Look:
    on = _day(walk_round, seen_at)
    position = position_of(place, walk_round.pk, seen_at, on)
    named = () if seen.is_empty else units_named(seen, on)
    unit = None if seen.is_empty else unit_seen(seen, position)
    if unit is None and len(named) == 1:
        unit = named[0]
    return _Look(unit.id if unit else None, findings(seen, position, named, on))


def _day(walk_round: WalkRound, at: datetime) -> date:
    return at.astimezone(ZoneInfo(walk_round.station.time_zone)).date()


def _refuse_unread(seen: Seen) -> None:
    refuse_unkept(seen, _LONGEST)
    is_read = seen.plate or seen.gauge_read.strip() or seen.pin_read.strip() or seen.expiry_read
    if seen.is_empty and is_read:
        words = "Either nothing is there, or something was read: leave one of the two."
        raise Refused("empty_with_readings", words, "is_empty")
    if not (seen.is_empty or is_read or seen.note.strip()):
        words = "Scan or type what is there, or say that nothing is."
        raise Refused("nothing_read", words, "serial_number_read")


def _walk_round(walk_round_id: int) -> WalkRound:
    found = WalkRound.objects.select_related("aircraft", "station").filter(pk=walk_round_id).first()
    if found is None:
        raise Refused("unknown_walk_round", "There is no such walk-round: look it up again.")
    return found


def _place_on(walk_round: WalkRound, key: int | None) -> Place:
    """The place, if it is on the aircraft (and in the zone) that is walked."""
    found = Place.objects.filter(pk=key or 0).select_related(*PLACE_PARTS).first()
    if found is None:
        raise Refused("unknown_place", "There is no such position: look it up again.", "place")
    position = found.aircraft_position
    aircraft = position.aircraft_id if position else None
    if found.around is not None:
        aircraft = found.around.aircraft_id
    if aircraft != walk_round.aircraft_id:
        words = f"This is no position of {walk_round.aircraft}: check which one you are at."
        raise Refused("position_of_another_aircraft", words, "place")
    if walk_round.zone and position and position.type_position.zone != walk_round.zone:
        words = f"This walk-round is of zone {walk_round.zone}: begin another for the rest."
        raise Refused("position_of_another_zone", words, "place")
    return found


def _read_of(seen: Seen) -> Seen:
    """What is kept: trimmed, and nothing there said in the note."""
    note = seen.note.strip()
    if seen.is_empty:
        note = f"{NOTHING}: {note}" if note else f"{NOTHING}."
    return replace(
        seen,
        part_number_read=seen.part_number_read.strip(),
        serial_number_read=seen.serial_number_read.strip(),
        gauge_read=seen.gauge_read.strip(),
        pin_read=seen.pin_read.strip(),
        note=note,
    )


def _keep(
    walk_round: WalkRound,
    place: Place,
    seen: Seen,
    found: _Look,
    *,
    by: User,
    act_id: UUID,
    at: datetime,
    seen_at: datetime,
) -> Sighting:
    when = When(seen_at, "instant", walk_round.station.time_zone)
    read = {name: getattr(_read_of(seen), name) for name in READ}
    fact = SightingFact(act_id, when, place.pk, found.unit_id, **read)
    [entered] = record_sightings(by=by, rows=[fact], at=at, walk_round_id=walk_round.pk)
    return Sighting.objects.get(pk=entered.id)


def _note_each(
    walk_round: WalkRound, place: Place, sighting: Sighting, found: Sequence[Finding], *, by: User
) -> list[Discrepancy]:
    """A discrepancy for each finding that does not wait for the controller already."""
    made = []
    for number, each in enumerate(found):
        words = each.words[:MOST_WORDS]
        waits = Discrepancy.objects.filter(place=place, sort=each.sort, words=words)
        if waits.filter(settlement=None).exists():
            continue
        made.append(
            Discrepancy.objects.create(
                act_id=derived_act_id(sighting.act_id, f"finding {number}"),
                sort=each.sort,
                aircraft=walk_round.aircraft,
                place=place,
                walk_round=walk_round,
                sighting=sighting,
                recorded_unit_id=each.recorded_id,
                found_unit_id=each.found_id,
                words=words,
                found_at=sighting.seen_at,
                found_by=by,
            )
        )
    return made


# --- declared ---------------------------------------------------------------------------------

START_WALK_ROUND = Act(
    name="start_walk_round",
    who="walk_round",
    does=start_walk_round,
    said=WalkBegun,
    tag="Walk-rounds",
    summary="Begin a walk-round",
    description="Begins a check of what is really there, of one aircraft or one of its zones.",
    address="walk-rounds",
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c07",
        "aircraft": "Q-AVEN",
        "station": "LYD",
    },
)
SEE_POSITION = Act(
    name="see_position",
    who="walk_round",
    does=see_position,
    said=Look,
    takes_sender_at=True,
    tag="Walk-rounds",
    summary="Record what is at a position",
    description="Records what was read at a position. It moves nothing; each difference from the "
    "record becomes a discrepancy, once.",
    address="walk-rounds/<int:walk_round_id>/sightings",
    in_address=("walk_round_id",),
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c08",
        "place": PLACE_SENT,
        "part_number_read": "HS-4410-3",
        "serial_number_read": "A00713",
        "gauge_read": "2950 psi",
        "pin_read": "stowed",
    },
)

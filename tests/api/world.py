"""One aircraft, one slide, one programme: the least that every act has something to act on.

Written as facts of the registers, which no act of the API enters.
"""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import UTC, date, datetime

from equipment.keeping.record import record_movements
from equipment.ledger.facts import MovementFact, When
from equipment.models import (
    Certificate,
    CylinderDesign,
    CylinderSpecification,
    Discrepancy,
    Fit,
    Maker,
    OpenItem,
    PartNumber,
    Place,
    Reservation,
    RuleSet,
    Sighting,
    Tool,
    Unit,
    WalkRound,
)
from fleet.models import (
    Aircraft,
    AircraftPosition,
    AircraftType,
    Authorisation,
    Check,
    Kind,
    Measure,
    Station,
    TypePosition,
    User,
)
from scheduling.models import Limit, Programme, ProgrammeOfAircraft, Work

AT = datetime(2024, 1, 11, 8, 0, tzinfo=UTC)


@dataclass(frozen=True)
class World:
    station: Station
    aircraft: Aircraft
    position: AircraftPosition
    place: Place
    store: Place
    slide: Unit
    twin: Unit
    received: int
    programme: Programme
    overhaul: Limit
    directive: Limit
    authorisation: Authorisation
    beside: dict[str, int]


def a_world() -> World:
    station = Station.objects.create(code="LYD", name="Lydmouth", time_zone="Europe/London")
    for code, name, unit in (
        ("FH", "Flight hours", "minutes"),
        ("FC", "Flight cycles", "count"),
    ):
        Measure.objects.get_or_create(
            code=code, defaults={"name": name, "unit": unit, "counted_on": "aircraft"}
        )
    kind = Kind.objects.create(code="door-slide", name="Door slide")
    tern = AircraftType.objects.create(code="TERN-200", name="Tern 200")
    aircraft = Aircraft.objects.create(
        registration="Q-AVEN",
        msn="1042",
        aircraft_type=tern,
        station=station,
        manufactured_on=date(2014, 5, 20),
    )
    layout = TypePosition.objects.create(
        aircraft_type=tern,
        code="D1L-SLIDE",
        name="Door 1 left slide",
        kind=kind,
        side="left",
        x_cm=400,
        y_cm=-180,
    )
    position = AircraftPosition.objects.create(aircraft=aircraft, type_position=layout)
    place = Place.objects.create(sort=Place.AIRCRAFT, aircraft_position=position, capacity=1)
    store = Place.objects.create(sort=Place.STORE, station=station)
    maker = Maker.objects.create(code="HS01", name="Harbour Slides")
    part = PartNumber.objects.create(
        maker=maker, number="HS-4410-3", description="Slide, door 1 left", kind=kind
    )
    Fit.objects.create(part_number=part, type_position=layout)
    slide = Unit.objects.create(
        original_part=part,
        part_number=part,
        serial_number="A00731",
        manufactured_on=date(2019, 2, 1),
        recorded_at=AT,
    )
    twin = Unit.objects.create(
        original_part=part, part_number=part, serial_number="A0O731", recorded_at=AT
    )
    person = User.objects.create(username="c.marsh", roles=["controller"])
    receipt = MovementFact(slide.pk, "received", store.pk, When.on(date(2024, 1, 10)))
    [recorded] = record_movements(by=person, rows=[receipt], act_id=uuid.uuid4(), at=AT)
    programme = Programme.objects.create(code="MP-1", name="Programme", revision="4")
    ProgrammeOfAircraft.objects.create(
        aircraft=aircraft, programme=programme, from_on=date(2020, 1, 1), recorded_at=AT
    )
    work = Work.objects.create(code="overhaul", name="Overhaul")
    common = {
        "programme": programme,
        "work": work,
        "kind": kind,
        "document_revision": "4",
        "recorded_at": AT,
    }
    overhaul = Limit.objects.create(
        code="SL-OH",
        revision="4",
        title="Slide overhaul",
        document="MP-1",
        is_extendable=True,
        extension_days_most=30,
        **common,
    )
    directive = Limit.objects.create(
        code="AD-2027-01-A",
        revision="1",
        title="Listed slides",
        document="AD 2027-01",
        is_directive=True,
        paragraph="A",
        **common,
    )
    Tool.objects.create(code="VT-104", sort="wrench", description="Wrench", recorded_at=AT)
    authorisation = Authorisation.objects.create(
        user=person,
        number="QA-1001",
        sort="approval",
        acts=["sign_step"],
        from_on=date(2024, 1, 1),
        until_on=date(2025, 12, 31),
        recorded_at=AT,
    )
    beside = _beside(person, aircraft, station, place, slide, twin)
    beside["lot"] = _lot(person, part, store)
    return World(
        station=station,
        aircraft=aircraft,
        position=position,
        place=place,
        store=store,
        slide=slide,
        twin=twin,
        received=recorded.movement_id,
        programme=programme,
        overhaul=overhaul,
        directive=directive,
        authorisation=authorisation,
        beside=beside,
    )


def _lot(person, part, store):
    """Ten vests of one batch in the store; and the slide's part is a cylinder of a specification."""
    vest = PartNumber.objects.create(
        maker=part.maker, number="HS-20", description="Vest", kind=part.kind, is_lot=True
    )
    lot = Unit.objects.create(
        original_part=vest,
        part_number=vest,
        serial_number="BATCH-17",
        quantity=10,
        recorded_at=AT,
    )
    receipt = MovementFact(lot.pk, "received", store.pk, When.on(date(2024, 1, 10)), quantity=10)
    record_movements(by=person, rows=[receipt], act_id=uuid.uuid4(), at=AT)
    specification = CylinderSpecification.objects.create(
        code="3HT", document="180.209", times_over=5, times_under=3, recorded_at=AT
    )
    CylinderDesign.objects.create(part_number=part, specification=specification, service_psig=1850)
    return lot.pk


def _beside(person, aircraft, station, place, slide, twin):
    """What the doors beside a swap act on: the rules, papers, and one of each that they settle or end."""
    RuleSet.objects.create(
        code="SIGN",
        revision="1",
        document="MOE",
        from_on=date(2020, 1, 1),
        step_statement="I did it.",
        inspection_statement="I saw it.",
        release_statement="I certify it.",
        recorded_at=AT,
    )
    Certificate.objects.create(
        unit=slide,
        form="Form",
        tracking_number="HS-1",
        issued_on=date(2024, 1, 9),
        issuer="Harbour Slides",
        status="overhauled",
        recorded_at=AT,
    )
    new = uuid.uuid4
    walk = WalkRound.objects.create(
        act_id=new(), aircraft=aircraft, station=station, started_at=AT, started_by=person
    )
    difference = Discrepancy.objects.create(
        act_id=new(),
        sort="condition",
        aircraft=aircraft,
        place=place,
        words="Pin missing.",
        found_at=AT,
        found_by=person,
    )
    item = OpenItem.objects.create(
        act_id=new(),
        aircraft=aircraft,
        document="MEL 25-1",
        category="D",
        words="Vest missing.",
        recorded_at=AT,
        found_on=date(2024, 1, 11),
        expires_on=date(2024, 1, 31),
        repeat_actions="Count the vests",
        repeat_days=7,
        recorded_by=person,
    )
    held = Reservation.objects.create(
        act_id=new(),
        unit=twin,
        place=place,
        need_on=date(2024, 5, 1),
        reserved_at=AT,
        reserved_by=person,
    )
    check = Check.objects.create(
        aircraft=aircraft,
        name="C9",
        starts_on=date(2028, 1, 10),
        ends_on=date(2028, 1, 20),
        station=station,
    )
    seen = Sighting.objects.create(act_id=new(), seen_at=AT, note="Seen.", recorded_at=AT)
    return {
        "walk_round_id": walk.pk,
        "discrepancy_id": difference.pk,
        "open_item_id": item.pk,
        "reservation_id": held.pk,
        "sighting": seen.pk,
        "check": check.pk,
    }


def ids_of(world):
    return {
        "registration": "Q-AVEN",
        "unit_id": world.slide.pk,
        "movement_id": world.received,
        "item_id": 1,
        "authorisation_id": world.authorisation.pk,
        **world.beside,
    }


def about(world, body):
    """The schema's example about the units of this world."""
    units = {
        "unit": world.slide.pk,
        "kept": world.slide.pk,
        "absorbed": world.twin.pk,
        "on": world.slide.pk,
        "sighting": world.beside["sighting"],
        "lot": world.beside["lot"],
        "check": world.beside["check"],
    }
    if isinstance(body, dict):
        return {
            # a rule's or a reading's unit is a text
            name: units[name] if name in units and isinstance(value, int) else about(world, value)
            for name, value in body.items()
        }
    return [about(world, each) for each in body] if isinstance(body, list) else body

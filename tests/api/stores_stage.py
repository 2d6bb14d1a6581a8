"""What the doors of the stores act on: a unit to inspect, one at a shop, one set aside, a hold."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from datetime import date
from typing import Any

from equipment.keeping.record import record_movements
from equipment.ledger.facts import MovementFact, PlaceAt, When
from equipment.models import (
    Certificate,
    Hold,
    Loan,
    PrintedTag,
    PurchaseRequest,
    Reservation,
    ShopOrder,
    StockTake,
    Title,
    Transfer,
    Unit,
    UnitTag,
)
from fleet.models import Station, User

from .world import AT, World, a_world, ids_of

PASSWORD = "a-long-password-1"


def a_unit(world: World, serial: str, sort: str, to: PlaceAt) -> tuple[Unit, int]:
    """A unit with its certificate, moved to a place; and the movement."""
    part = world.slide.part_number
    made = Unit.objects.create(
        original_part=part, part_number=part, serial_number=serial, recorded_at=AT
    )
    Certificate.objects.create(
        unit=made,
        form="Form 1",
        tracking_number=f"S-{serial}",
        issued_on=date(2024, 1, 9),
        issuer="Harbour Slides",
        status="overhauled",
        recorded_at=AT,
    )
    fact = MovementFact(made.pk, sort, to, When.on(date(2024, 1, 10)))
    person = User.objects.get(username="c.marsh")
    [done] = record_movements(by=person, rows=[fact], act_id=uuid.uuid4(), at=AT, is_strict=True)
    return made, done.movement_id


def stage_of_stores(role: str) -> tuple[dict[str, Any], Callable[[Any], Any]]:
    """Ids of the world, and how an example is made to be about what stands here."""
    world = a_world()
    person = User.objects.get(username="c.marsh")
    User.objects.create_user("t.arden", password=PASSWORD, roles=[role])
    at_station = {"station_id": world.station.pk}
    waiting, _ = a_unit(world, "Q1", "received", PlaceAt("quarantine", **at_station))
    kept, _ = a_unit(world, "K1", "received", PlaceAt("store", **at_station))
    away, sent = a_unit(world, "W1", "sent", PlaceAt("shop", name="Lee Shore Overhaul"))
    order = ShopOrder.objects.create(
        act_id=uuid.uuid4(),
        unit=away,
        movement_id=sent,
        shop="Lee Shore Overhaul",
        number="PO-1",
        station=world.station,
        sent_on=date(2024, 1, 10),
        promised_on=date(2024, 3, 1),
        recorded_at=AT,
        recorded_by=person,
    )
    held = Reservation.objects.create(
        act_id=uuid.uuid4(),
        unit=kept,
        place=world.place,
        need_on=date(2024, 5, 1),
        reserved_at=AT,
        reserved_by=person,
    )
    hold = Hold.objects.create(
        act_id=uuid.uuid4(),
        scope="supplier",
        value="Nobody",
        why="other",
        words="Doubt.",
        held_at=AT,
        held_by=person,
    )

    out = _issued(world, person)
    counted, empty = _stock_takes(world, person)
    transfer = _transfer(world, person, empty.station)
    loan, title, core = _owed(world, person)
    printed = _printed(world, person)
    wanted = PurchaseRequest.objects.create(
        act_id=uuid.uuid4(),
        part_number=world.slide.part_number,
        quantity=5,
        why="Short.",
        requested_at=AT,
        requested_by=person,
    )

    def about(body: Any) -> Any:
        late = "printed_serial" in body and "unit" in body
        here = {
            "unit": away.pk
            if late
            else waiting.pk
            if {"identity", "how", "mutilation", "waybill"} & set(body)
            else world.slide.pk,
            "order": order.pk,
            "reservation": out.pk if "bin" in body else held.pk,
            "hold": hold.pk,
            "transfer": transfer.pk,
            "loan": loan.pk,
            "printed": printed.pk,
            "request": wanted.pk,
            "title": title.pk if "waybill" in body else body.get("title"),
            "core": f"{core.part_number.number} {core.serial_number}",
            "count": counted.pk if {"how", "code"} & set(body) else empty.pk,
            "password": PASSWORD,
        }
        found = {name: here.get(name, value) for name, value in body.items()}
        if "station" in body and "waybill" in body:
            found["station"] = empty.station.code
        if "printed_serial" in body:
            found["printed_serial"] = away.serial_number
        return found

    return ids_of(world) | {"reservation_id": held.pk}, about


def _stock_takes(world: World, person: User) -> tuple[StockTake, StockTake]:
    """One of a quarantine in which something is missing, and one of where nothing lies."""
    nowhere = Station.objects.create(code="EMTY", name="Empty", time_zone="UTC")
    facts = {"store": "quarantine", "begun_at": AT, "begun_by": person}
    takes = [
        StockTake.objects.create(act_id=uuid.uuid4(), station=station, **facts)
        for station in (world.station, nowhere)
    ]
    return takes[0], takes[1]


def _transfer(world: World, person: User, to: Station) -> Transfer:
    """A unit on its way to another station."""
    place = PlaceAt("party", name=f"in transit {world.station.code} to {to.code}")
    unit, movement = a_unit(world, "T1", "sent", place)
    return Transfer.objects.create(
        act_id=uuid.uuid4(),
        unit=unit,
        movement_id=movement,
        origin=world.station,
        station=to,
        left="store",
        waybill="TN-1",
        sent_on=date(2024, 1, 10),
        recorded_at=AT,
        recorded_by=person,
    )


def _owed(world: World, person: User) -> tuple[Loan, Title, Unit]:
    """A unit that is lent out; a title that owes its unit and a core; and a core to send."""
    lent, movement = a_unit(world, "L1", "sent", PlaceAt("party", name="Skerry Air"))
    loan = Loan.objects.create(
        act_id=uuid.uuid4(),
        unit=lent,
        movement_id=movement,
        party="Skerry Air",
        station=world.station,
        agreement="LN-1",
        lent_on=date(2024, 1, 10),
        return_by=date(2024, 4, 1),
        recorded_at=AT,
        recorded_by=person,
    )
    store = PlaceAt("store", station_id=world.station.pk)
    foreign, _ = a_unit(world, "F1", "received", store)
    core, _ = a_unit(world, "C1", "received", store)
    title = Title.objects.create(
        unit=foreign,
        sort="exchange",
        owner="Tidewater Pool",
        from_on=date(2024, 1, 10),
        return_by=date(2024, 4, 1),
        core_due_on=date(2024, 4, 1),
        recorded_at=AT,
    )
    return loan, title, core


def _printed(world: World, person: User) -> PrintedTag:
    """The world's unit has a tag, which was printed."""
    tag = UnitTag.objects.create(
        act_id=uuid.uuid4(),
        unit=world.slide,
        sort="serviceable",
        tagged_at=AT,
        recorded_at=AT,
        recorded_by=person,
    )
    return PrintedTag.objects.create(
        act_id=uuid.uuid4(),
        unit=world.slide,
        tag=tag,
        number=1,
        is_serviceable=True,
        printed_at=AT,
        printed_by=person,
    )


def _issued(world: World, person: User) -> Reservation:
    """A unit that was handed over and is not fitted."""
    unit, _ = a_unit(world, "I1", "received", PlaceAt("store", station_id=world.station.pk))
    return Reservation.objects.create(
        act_id=uuid.uuid4(),
        unit=unit,
        place=world.place,
        need_on=date(2024, 5, 2),
        reserved_at=AT,
        reserved_by=person,
        issued_at=AT,
        issued_by=person,
        issued_to="R. Oake",
    )

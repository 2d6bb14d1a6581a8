"""A spare that may not be used, for one reason at a time, and an aircraft that needs one.

It is noon on 1 June 2027. Each state is made by the act that makes it in life, in May.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

from equipment.availability.acts.holds import NewHold, hold_units
from equipment.availability.acts.reservations import reserve_unit
from equipment.availability.acts.tag_facts import TagFact
from equipment.availability.acts.tags import tag_unit
from equipment.keeping.places import place_ids
from equipment.ledger.facts import PlaceAt
from equipment.models import PartPosition, Reservation, Title, Unit
from equipment.stores.acts.shops import NewOrder, send_to_shop
from fleet.models import Aircraft
from tests import builders as build
from tests import builders_swaps as swaps
from tests.equipment.stores.world import certified
from tests.scheduling import rules as on
from tests.scheduling.allocation import world as allocation

NOON = "2027-06-01 12:30:00+00:00"
IN_MAY, MAY_5 = build.instant("2027-05-05 10:00"), build.day("2027-05-05")
POSITION = "D1L-SLIDE"
NEED_ON = build.day("2027-07-05")
#: An act that its step list asks for: off and on, each signed.
ROWS: tuple[swaps.Row, ...] = tuple(row for row in swaps.EVERY_SORT if row[0] in {3, 6})


@dataclass
class Stage:
    """``fleet`` has an aircraft with a slide; ``empty`` has none; ``other`` is in need of one too."""

    fleet: allocation.World
    spare: Unit
    empty: Aircraft
    other: Aircraft

    @property
    def aircraft(self) -> Aircraft:
        return self.fleet.aircraft[0]

    @property
    def station(self) -> Any:
        return self.fleet.base

    def place(self, aircraft: Aircraft) -> PlaceAt:
        return build.at_position(aircraft, POSITION)

    def key(self, aircraft: Aircraft) -> int:
        (key,) = place_ids([self.place(aircraft)])
        assert key is not None
        return key

    def set_aside(self, aircraft: Aircraft) -> Reservation:
        """As it stands on the counter: whatever became of the unit since."""
        return Reservation.objects.create(
            act_id=uuid4(),
            unit=self.spare,
            place_id=self.key(aircraft),
            need_on=NEED_ON,
            reserved_at=IN_MAY,
            reserved_by=self.fleet.clerk,
        )

    def job(self) -> swaps.Job:
        """A swap at the aircraft, done up to its release, with the spare put on."""
        old = self.fleet.fitted[self.aircraft.registration]
        people = swaps.a_technician(), swaps.an_inspector(), swaps.a_certifier(password=PASSWORD)
        swaps.a_rule_set()
        swaps.a_step_list(self.spare.part_number.kind, ROWS)
        where = self.aircraft, self.station, self.place(self.aircraft)
        job = swaps.Job(*where, old, self.spare, *people, {})
        job.do_all()
        return job


PASSWORD = swaps.PASSWORD


def a_stage(state: str) -> Stage:
    """The spare in this state; GOOD: as a spare should be."""
    fleet = allocation.a_world(planes=1)
    of_type = fleet.aircraft[0].aircraft_type
    empty, other = (on.follows(build.an_aircraft(of_type=of_type)) for _ in range(2))
    spare = fleet.a_spare(
        # Overhauled every 36 months: this one's time ran out in 2023.
        made="2020-01-10" if state == "expired" else "2027-01-10",
        has_certificate=state != "without a certificate",
    )
    stage = Stage(fleet, spare, empty, other)
    if state != GOOD:
        STATES[state][0](stage)
    return stage


# --- what becomes of a unit -------------------------------------------------------------------


def quarantined(stage: Stage) -> None:
    build.moved(stage.spare, "quarantined", build.in_quarantine(stage.station), "2027-05-05")


def tagged(unit: Unit) -> None:
    tag_unit(
        by=build.a_person("technician"),
        unit_id=unit.pk,
        tagged_at=IN_MAY,
        act_id=uuid4(),
        at=build.NOW,
        tag=TagFact("unserviceable", "defect", "Torn girt"),
    )


def unserviceable_inside(stage: Stage) -> None:
    part = stage.spare.part_number
    kind = build.a_kind("LIGHT")
    PartPosition.objects.create(part_number=part, code="LIGHT", name="Light", kind=kind)
    light = build.a_unit(build.a_part("LT-7", kind=kind))
    build.installed(light, build.inside(stage.spare), "2027-03-02")
    tagged(light)


def owned(stage: Stage, **more: Any) -> None:
    Title.objects.create(
        unit=stage.spare,
        sort="pool_loan",
        owner="Skerry Air",
        from_on=build.day("2027-05-01"),
        recorded_at=build.NOW,
        **more,
    )


def held(scope: str, **more: Any) -> Callable[[Stage], None]:
    def hold(stage: Stage) -> None:
        named = {"unit_id": stage.spare.pk} if scope == "unit" else {}
        new = NewHold(scope, "unapproved", "Forged stamps", **named, **more)
        hold_units(by=build.a_person("stores"), hold=new, act_id=uuid4(), at=IN_MAY)

    return hold


def of_held_supplier(stage: Stage) -> None:
    certified(stage.spare, "C-DOUBT", supplier="Nobody Parts")
    held("supplier", value="nobody parts")(stage)


def reserved(stage: Stage) -> None:
    reserve_unit(
        by=build.a_person("stores"),
        unit_id=stage.spare.pk,
        place=stage.place(stage.other),
        need_on=NEED_ON,
        act_id=uuid4(),
        at=build.NOW,
    )


def at_the_shop(stage: Stage) -> None:
    order = NewOrder(
        stage.spare.pk,
        "Lee Shore Overhaul",
        "PO-7",
        stage.station.pk,
        MAY_5,
        build.day("2027-08-01"),
    )
    send_to_shop(
        by=build.a_person("stores"), order=order, act_id=uuid4(), at=build.NOW, today=MAY_5
    )


def sent_without_an_order(stage: Stage) -> None:
    build.moved(stage.spare, "sent", build.SHOP, "2027-05-05")


def in_transit(stage: Stage) -> None:
    build.moved(stage.spare, "sent", PlaceAt("party", name="Fulmar Freight"), "2027-05-05")


def scrapped(stage: Stage) -> None:
    build.moved(stage.spare, "scrapped", build.SCRAPPED, "2027-05-05")


def under_both_authorities(stage: Stage) -> None:
    """The house's rules ask for a dual release, and the certificate of the spare is of one authority."""
    swaps.a_rule_set(needs_dual_release=True)


def nothing(stage: Stage) -> None:
    """It is so already."""


Codes = dict[str, str]


def always(code: str) -> Codes:
    return dict.fromkeys(("reserve", "issue", "fit"), code)


#: What became of the unit, and the code that each act refuses it with, by whichever door.
STATES: dict[str, tuple[Callable[[Stage], None], Codes]] = {
    "quarantined": (quarantined, always("unit_quarantined")),
    "unserviceable": (lambda stage: tagged(stage.spare), always("unit_unserviceable")),
    "unserviceable inside": (unserviceable_inside, always("unit_unserviceable")),
    "expired": (nothing, always("unit_expired")),
    "foreign": (
        lambda stage: owned(stage, restriction="only Q-AVEN"),
        always("unit_of_another_owner"),
    ),
    "to go back": (
        lambda stage: owned(stage, return_by=build.day("2027-05-31")),
        always("unit_of_another_owner"),
    ),
    "on hold": (held("unit"), always("unit_on_hold")),
    "of a held supplier": (of_held_supplier, always("unit_on_hold")),
    # One unit has one reservation, so none is issued that is set aside for another.
    "set aside for another": (
        reserved,
        {"reserve": "reserved_elsewhere", "fit": "reserved_elsewhere"},
    ),
    "without a certificate": (nothing, always("no_certificate")),
    "without a dual release": (under_both_authorities, always("no_dual_release")),
    "at the shop": (at_the_shop, always("unit_at_shop")),
    "at a shop without an order": (
        sent_without_an_order,
        always("unit_not_in_store") | {"fit": "unit_at_shop"},
    ),
    "in transit": (
        in_transit,
        always("unit_not_in_store") | {"fit": "unit_recorded_elsewhere"},
    ),
    "scrapped": (scrapped, always("unit_not_in_store") | {"fit": "unit_scrapped"}),
}
GOOD = "nothing against it"
EVERY_CODE = frozenset(code for _, codes in STATES.values() for code in codes.values())

"""A small fleet with slides to change and a store: what tests of the allocation stand on.

Two aircraft of one type at the base; a slide is overhauled every 36 months; each aircraft has a check in
July and one in November. The day is 1 June 2027.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any
from uuid import uuid4

from equipment.models import PartNumber, StoresRule, Transport, Unit
from fleet.aircraft.acts.checks import PlannedCheck, plan_checks
from fleet.models import Aircraft, Check, Station, User
from scheduling.allocation.acts.decide import Ruling
from scheduling.allocation.acts.make import make_proposal
from scheduling.allocation.facts.gathered import Gathered, gather
from scheduling.models import ProposalRun, ProposedNeed
from tests import builders as build
from tests.equipment.stores.world import certified
from tests.scheduling import rules as on

DAY = on.DAY
AT = build.NOW
JULY, NOVEMBER = build.day("2027-07-05"), build.day("2027-11-08")


@dataclass
class World:
    """The stations, the aircraft, the slide's part, and people who decide."""

    base: Station
    outstation: Station
    slide: PartNumber
    clerk: User
    aircraft: list[Aircraft]
    fitted: dict[str, Unit] = field(default_factory=dict)

    def a_spare(
        self, station: Station | None = None, made: str = "2027-01-10", **more: Any
    ) -> Unit:
        """A slide in a store with its certificate, overhauled when it was made."""
        has_certificate = more.pop("has_certificate", True)
        part = more.pop("part", self.slide)
        unit = build.a_unit(part, manufactured_on=build.day(made), **more)
        build.moved(unit, "received", build.in_store(station or self.base), "2027-03-01")
        if has_certificate:
            certified(unit)
        return unit

    def propose(self) -> ProposalRun:
        on.reckon()
        run = make_proposal(as_of=DAY, at=AT)
        assert run is not None
        return run

    def gathered(self) -> Gathered:
        on.reckon()
        return gather(DAY, AT)


def a_world(planes: int = 2, made: str = "2024-08-01") -> World:
    """Each aircraft's slide was made in August 2024: due on 1 August 2027, done at the check in July."""
    base, outstation = build.a_station("QBAS"), build.a_station("QOUT")
    kind = build.a_kind("SLIDE")
    slide = build.a_part("HS-100", kind=kind)
    of_type = build.an_aircraft_type("D1L-SLIDE", kind=kind)
    on.a_rule("SLIDE-OVH", on.every(36, first_from="manufacture"), work="OVERHAUL", kind=kind)
    aircraft = [on.follows(build.an_aircraft(of_type=of_type, station=base)) for _ in range(planes)]
    build.a_fit(slide, aircraft[0], "D1L-SLIDE")
    world = World(base, outstation, slide, build.a_person("stores"), aircraft)
    for one in aircraft:
        unit = build.a_unit(slide, manufactured_on=build.day(made))
        build.installed(unit, build.at_position(one), "2024-09-01")
        world.fitted[one.registration] = unit
        planned(one, "C1", JULY, base)
        planned(one, "C2", NOVEMBER, base)
    return world


def planned(aircraft: Aircraft, name: str, starts: date, station: Station, **more: Any) -> Check:
    row = PlannedCheck(aircraft.pk, name, starts, starts, station.pk, **more)
    [check] = plan_checks(
        by=build.a_person("controller"), rows=[row], today=row.starts_on, at=build.NOW
    )
    return check


def a_way(origin: Station, station: Station, days: int = 3, **more: Any) -> Transport:
    return Transport.objects.create(origin=origin, station=station, days=days, **more)


def a_rule_of_stock(**more: Any) -> StoresRule:
    return StoresRule.objects.create(kind=build.a_kind("SLIDE"), **more)


def ruling(need: ProposedNeed | str, unit: Unit, **more: Any) -> Ruling:
    key = need if isinstance(need, str) else need.key
    return Ruling(key, unit.pk, more.pop("act_id", None) or uuid4(), **more)


def need_at(run: ProposalRun, aircraft: Aircraft) -> ProposedNeed:
    return ProposedNeed.objects.select_related("run").get(run=run, aircraft=aircraft)

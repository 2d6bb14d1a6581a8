"""What a swap needs, invented: step lists of every sort, rules, tools, charts, people who may sign.

``a_job()`` is the whole stage: an aircraft with a slide on it, one in store to go on, and three people.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4

from equipment.ledger.facts import PlaceAt
from equipment.models import (
    BottleChart,
    Calibration,
    Certificate,
    PartNumber,
    Place,
    RuleSet,
    Signature,
    Step,
    StepEntry,
    StepList,
    Swap,
    Tool,
    Unit,
)
from equipment.swaps import acts as swaps
from equipment.swaps.acts import Moved, NewSwap, TagFact
from fleet.models import Aircraft, Authorisation, Kind, Station, User
from fleet.people.proofs import Proof
from tests import builders as build

PASSWORD = "a long invented password"
_numbers = itertools.count(1)
EVER, FOREVER = date(2020, 1, 1), date(2040, 12, 31)

#: number, phase, sort, words, rule, and what differs from an ordinary step.
Row = tuple[int, str, str, str, dict[str, Any], dict[str, Any]]
PINS, TORQUE = {"what": "safety pins"}, {"low": "50", "high": "70", "unit": "in-lb"}
EVERY_SORT: tuple[Row, ...] = (
    (1, "make_safe", "count", "Fit the safety pins. Pins fitted:", PINS, {}),
    (2, "make_safe", "confirm", "Door disarmed.", {}, {}),
    (3, "remove", "confirm", "Lift the pack off. Record what came off.", {}, {"posts": "removal"}),
    (4, "inspect", "pressure", "Gauge of the bottle.", {"unit": "psi"}, {}),
    (5, "inspect", "note", "Anything found.", {}, {"is_needed": False}),
    (
        6,
        "install",
        "confirm",
        "Lift the pack on. Record what went on.",
        {},
        {"posts": "installation"},
    ),
    (
        7,
        "install",
        "torque",
        "Mount bolts.",
        {**TORQUE, "has_drag": True, "needs_tool": True},
        {"is_inspected": True},
    ),
    (
        8,
        "install",
        "resistance",
        "Bonding lead.",
        {"limit": "3", "unit": "mΩ", "is_strict": True, "needs_tool": True},
        {},
    ),
    (9, "test", "function", "Light lit.", {}, {}),
    (10, "test", "endurance", "Light lasts.", {"at_least": "10", "unit": "min"}, {}),
    (11, "test", "weight", "Weigh it.", {"at_least": "20", "unit": "kg"}, {"earns": "WEIGHING"}),
    (12, "restore", "photo", "The door as left.", {}, {"is_needed": False}),
    (
        13,
        "restore",
        "count",
        "Pins out. Pins returned:",
        {**PINS, "is_returned": True},
        {"returns": 1, "is_inspected": True},
    ),
)
#: What is typed at each of them when all is well.
WELL: dict[int, dict[str, str]] = {
    1: {"count": "2"},
    2: {"done": "yes"},
    3: {"done": "yes"},
    4: {"value": "2900", "temperature": "70"},
    5: {"text": "nothing found"},
    6: {"done": "yes"},
    7: {"value": "62", "drag": "2"},
    8: {"value": "1.5"},
    9: {"result": "pass"},
    10: {"value": "12"},
    11: {"value": "29.5"},
    13: {"count": "2"},
}
#: The least that a swap can be: off, on, a torque inspected, pins out and back.
SHORT: tuple[Row, ...] = tuple(row for row in EVERY_SORT if row[0] in {1, 3, 6, 7, 13})
TOOLS = {"torque": "wrench", "resistance": "ohmmeter"}


def an_authorisation(
    user: User, *acts: str, until: date = FOREVER, from_on: date = EVER, **more: Any
) -> Authorisation:
    return Authorisation.objects.create(
        user=user,
        number=more.pop("number", f"QAUT-{next(_numbers)}"),
        sort="approval",
        title="Engineer",
        acts=list(acts),
        from_on=from_on,
        until_on=until,
        recorded_at=build.NOW,
        **more,
    )


def an_ink_signer(name: str, number: str, *acts: str, **more: Any) -> User:
    """Somebody whose ink is on cards: the stamp is the number of the authorisation."""
    first, last = name.split()
    user = build.a_person("inspector" if acts == ("inspect",) else "certifying")
    user.first_name, user.last_name = first, last
    user.save(update_fields=["first_name", "last_name"])
    an_authorisation(user, *acts, number=number, **more)
    return user


def a_signer(role: str, *acts: str, password: str = "") -> User:
    """A person of one role, authorised for these acts on everything; with a password if one is given."""
    user = build.a_person(role)
    if acts:
        an_authorisation(user, *acts)
    if password:
        user.set_password(password)
        user.save(update_fields=["password"])
    return user


def a_technician(**more: Any) -> User:
    return a_signer("technician", "sign_step", **more)


def an_inspector(**more: Any) -> User:
    return a_signer("inspector", "inspect", "sign_step", **more)


def a_certifier(**more: Any) -> User:
    return a_signer("certifying", "release", "sign_step", "inspect", **more)


def proof_of(user: User, at: datetime = build.NOW) -> Proof:
    """As if the person had just entered the own password."""
    return Proof(user, at)


def a_rule_set(**more: Any) -> RuleSet:
    """The rules in force; those already there unless something differs."""
    house = RuleSet.objects.filter(aircraft=None, programme="").order_by("-from_on", "-pk")
    if not more and (there := house.first()):
        return there
    number = next(_numbers)
    return RuleSet.objects.create(
        code=f"SIGN-{number}",
        revision="1",
        document="QMOE 2.16",
        recorded_at=build.NOW,
        from_on=EVER + timedelta(days=number % 300),
        step_statement="I have done this step.",
        inspection_statement="I have inspected this step independently.",
        reinspection_statement="I have inspected my own work again, nobody else being there.",
        release_statement="I certify that this change was done as the data named require.",
        **more,
    )


def a_step_list(
    kind: Kind, rows: Iterable[Row] = EVERY_SORT, *, part: PartNumber | None = None, **more: Any
) -> StepList:
    number = next(_numbers)
    facts = {
        "code": f"LIST-{number}",
        "revision": "1",
        "title": "Slide: off and on",
        "document": "QCM 25-60",
        "document_revision": "7",
        "from_on": EVER,
        "recorded_at": build.NOW,
        **more,
    }
    made = StepList.objects.create(kind=kind, part_number=part, **facts)
    Step.objects.bulk_create(
        Step(
            step_list=made,
            number=number,
            phase=phase,
            sort=sort,
            words=words,
            rule=rule,
            **differs,
        )
        for number, phase, sort, words, rule, differs in rows
    )
    return made


def a_tool(sort: str, *, until: date | None = FOREVER, **more: Any) -> Tool:
    """A tool calibrated until a day; None: never calibrated."""
    made = Tool.objects.create(
        code=f"QT-{next(_numbers)}", sort=sort, description=sort, recorded_at=build.NOW, **more
    )
    if until is not None:
        Calibration.objects.create(
            tool=made, done_on=EVER, due_on=until, certificate="QCAL 1", recorded_at=build.NOW
        )
    return made


def a_chart(part: PartNumber, **more: Any) -> BottleChart:
    points = [[0, 2400, 2600], [70, 2800, 3000], [140, 3300, 3500]]
    facts = {"gas": "nitrogen", "charge_psig": 2900, "points": points, "document": "QCMM 25-61"}
    return BottleChart.objects.create(
        part_number=part,
        revision=str(next(_numbers)),
        from_on=EVER,
        recorded_at=build.NOW,
        **{**facts, **more},
    )


def a_certificate(unit: Unit, number: str = "") -> Certificate:
    return Certificate.objects.create(
        unit=unit,
        form="QForm 1",
        tracking_number=number or f"QF-{next(_numbers)}",
        issued_on=build.day("2027-01-01"),
        issuer="Lee Shore Overhaul",
        status="overhauled",
        recorded_at=build.NOW,
    )


# --- a whole job ------------------------------------------------------------------------------


@dataclass
class Job:
    """An aircraft with a slide on it and one in store, who does what, and the swap once it is open."""

    aircraft: Aircraft
    station: Station
    place: PlaceAt
    old: Unit
    new: Unit
    technician: User
    inspector: User
    certifier: User
    tools: dict[str, Tool]
    swap: Swap = field(init=False)
    #: The server's clock of this job: each act is a second later than the one before.
    now: datetime = build.NOW

    def tick(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now

    def step(self, number: int) -> Step:
        return Step.objects.get(step_list=self.swap.step_list_id, number=number)

    def open(self, by: User | None = None, **more: Any) -> Swap:
        facts = {"place": self.place, "station_id": self.station.pk, "reason": "overhaul due"}
        planned = self.new.pk if self.new is not None else None
        new = NewSwap(**{**facts, "planned_on_id": planned, **more})
        self.swap = swaps.open_swap(
            by=by or self.technician, new=new, act_id=uuid4(), at=self.tick()
        )
        return self.swap

    def enter(
        self,
        number: int,
        typed: Mapping[str, str] | None = None,
        by: User | None = None,
        **more: Any,
    ) -> StepEntry:
        step = self.step(number)
        tool = self.tools.get(step.sort)
        facts = {"tool_code": tool.code if tool else "", "act_id": uuid4(), **more}
        return swaps.enter_step(
            by=by or self.technician,
            swap_id=self.swap.pk,
            step_id=step.pk,
            typed=WELL[number] if typed is None else typed,
            at=self.tick(),
            **facts,
        )

    def sign(self, number: int, by: User | None = None, **more: Any) -> Signature:
        at = self.tick()
        return swaps.sign_step(
            proof=proof_of(by or self.technician, at),
            swap_id=self.swap.pk,
            step_id=self.step(number).pk,
            act_id=uuid4(),
            at=at,
            **more,
        )

    def inspect(self, number: int, by: User | None = None, **more: Any) -> Signature:
        at = self.tick()
        return swaps.inspect_step(
            proof=proof_of(by or self.inspector, at),
            swap_id=self.swap.pk,
            step_id=self.step(number).pk,
            act_id=uuid4(),
            at=at,
            **more,
        )

    def refuse(self, number: int, by: User | None = None, **more: Any) -> Signature:
        at = self.tick()
        facts = {"reason": "The bolt head is rounded.", "act_id": uuid4(), **more}
        return swaps.refuse_inspection(
            proof=proof_of(by or self.inspector, at),
            swap_id=self.swap.pk,
            step_id=self.step(number).pk,
            at=at,
            **facts,
        )

    def take_off(self, unit: Unit | None = None, **more: Any) -> Moved:
        at = self.tick()
        facts: dict[str, Any] = {
            "to": build.in_quarantine(self.station),
            "when": build.on("2027-06-01 08:00"),
            "tag": TagFact("unserviceable", "limit", "overhaul due"),
            "act_id": uuid4(),
            "unit_id": (unit or self.old).pk,
            "by": self.technician,
            "is_confirmed": True,
            **more,
        }
        return swaps.record_removal(swap_id=self.swap.pk, at=at, **facts)

    def put_on(self, unit: Unit | None = None, **more: Any) -> Moved:
        at = self.tick()
        facts: dict[str, Any] = {
            "when": build.on("2027-06-01 09:00"),
            "act_id": uuid4(),
            "unit_id": (unit or self.new).pk,
            "by": self.technician,
            "is_confirmed": True,
            **more,
        }
        return swaps.record_installation(swap_id=self.swap.pk, at=at, **facts)

    def do_steps(self, *, but: Iterable[int] = ()) -> None:
        """Every needed step entered, signed and, where it is asked for, inspected."""
        steps = Step.objects.filter(step_list=self.swap.step_list_id, is_needed=True)
        for step in steps.exclude(number__in=list(but)).order_by("number"):
            self.enter(step.number)
            self.sign(step.number)
            if step.is_inspected:
                self.inspect(step.number)

    def do_all(self) -> None:
        """Everything up to the release."""
        self.open()
        self.take_off()
        self.put_on()
        self.do_steps()

    def release(self, by: User | None = None, **more: Any) -> Signature:
        at = self.tick()
        facts = {"act_id": uuid4(), **more}
        return swaps.release_swap(
            proof=proof_of(by or self.certifier, at), swap_id=self.swap.pk, at=at, **facts
        )


def a_job(
    rows: Iterable[Row] = EVERY_SORT,
    *,
    position: str = "D1L-SLIDE",
    kind: Kind | None = None,
    people: tuple[User, User, User] | None = None,
    tools: dict[str, Tool] | None = None,
) -> Job:
    """The stage with nothing opened yet: the old slide fitted since March, the new one in store."""
    kind = kind or build.a_kind(f"SLIDE-{next(_numbers)}")
    station = build.a_station()
    aircraft = build.an_aircraft(
        of_type=build.an_aircraft_type(position, kind=kind), station=station
    )
    part = build.a_part(kind=kind)
    a_chart(part)
    a_rule_set()
    if not StepList.objects.filter(kind=kind).exists():
        a_step_list(kind, rows)
    old, new = build.a_unit(part), build.a_unit(part)
    place = build.at_position(aircraft, position)
    build.installed(old, place, "2027-03-01 08:00")
    build.moved(new, "received", build.in_store(station), "2027-03-01", by=build.a_person("stores"))
    for unit in (old, new):
        a_certificate(unit)
    technician, inspector, certifier = people or (a_technician(), an_inspector(), a_certifier())
    tools = tools or {sort: a_tool(tool) for sort, tool in TOOLS.items()}
    return Job(aircraft, station, place, old, new, technician, inspector, certifier, tools)


def place_row(at: PlaceAt) -> Place:
    """The row of a place that was used already."""
    return Place.objects.get(sort=at.sort, aircraft_position=at.aircraft_position_id)

"""A small line to record swaps on: one aircraft, a slide on it and one in the store, every sort of step."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.test import Client

from equipment.models import Calibration, Certificate, RuleSet, Step, StepList, Tool, Unit
from fleet.models import Aircraft, Authorisation, Kind, Station, User
from tests.builders import (
    a_fit,
    a_kind,
    a_part,
    a_station,
    a_unit,
    an_aircraft,
    an_aircraft_type,
    at_position,
    day,
    in_store,
    installed,
    instant,
    moved,
)

PASSWORD = "a-long-password-1"
BEFORE = instant("2026-01-02 08:00")
POSITION = "OW-L-SLIDE"
CHART = {
    "points": [[32, 2590, 2790], [70, 2900, 3100], [100, 3140, 3340]],
    "gas": "nitrogen",
    "document": "CHART-1",
    "revision": "2",
}
# (phase, sort, words, rule, more)
STEPS: tuple[tuple[str, str, str, dict[str, Any], dict[str, Any]], ...] = (
    ("make_safe", "confirm", "Flap lever locked.", {}, {"caution": "A flap that moves crushes."}),
    ("make_safe", "count", "Fit the pin. Pins fitted:", {"what": "safety pins"}, {}),
    ("remove", "confirm", "Lift the pack out.", {}, {"posts": "removal"}),
    ("inspect", "pressure", "Gauge of the bottle.", {"unit": "psi", "chart": CHART}, {}),
    ("install", "confirm", "Lay the pack in.", {}, {"posts": "installation"}),
    (
        "install",
        "torque",
        "Hose coupling nut.",
        {"low": "220", "high": "260", "unit": "in-lb", "has_drag": True, "needs_tool": True},
        {"is_inspected": True},
    ),
    (
        "install",
        "resistance",
        "Bonding lead.",
        {"limit": "2.5", "unit": "mΩ", "is_strict": True, "needs_tool": True},
        {},
    ),
    ("test", "function", "Slide light lit.", {}, {}),
    ("test", "endurance", "Light lasts.", {"unit": "min", "at_least": "10"}, {}),
    ("test", "weight", "Weigh the bottle.", {"unit": "kg", "at_least": "5"}, {}),
    (
        "restore",
        "count",
        "Pins returned:",
        {"what": "safety pins", "is_returned": True},
        {"returns": 2, "is_inspected": True},
    ),
    ("restore", "note", "What the next shift should know.", {}, {"is_needed": False}),
    ("restore", "photo", "A photo as fitted.", {}, {"is_needed": False}),
)
NUMERIC = (
    (2, "count"),
    (4, "value"),
    (4, "temperature"),
    (6, "value"),
    (6, "drag"),
    (6, "extension"),
    (6, "angle"),
    (6, "wrench_length"),
    (7, "value"),
    (9, "value"),
    (10, "value"),
    (11, "count"),
)


@dataclass(frozen=True)
class Line:
    """What the tests of the line's pages stand on."""

    aircraft: Aircraft
    station: Station
    kind: Kind
    old: Unit
    new: Unit
    steps: StepList

    def step(self, number: int) -> Step:
        return self.steps.steps.get(number=number)


def a_worker(name: str, *acts: str, role: str = "") -> User:
    """A person with a password, a role, and an authorisation for these acts."""
    made = User.objects.create_user(
        name, password=PASSWORD, first_name=name.title(), roles=[role or name]
    )
    if acts:
        Authorisation.objects.create(
            user=made,
            number=f"A-{name}",
            sort="approval",
            acts=list(acts),
            from_on=day("2020-01-01"),
            until_on=day("2099-01-01"),
            recorded_at=BEFORE,
        )
    return made


def crew() -> dict[str, User]:
    """One person of each role, by role."""
    return {
        "technician": a_worker("technician", "sign_step"),
        "inspector": a_worker("inspector", "sign_step", "inspect"),
        "certifying": a_worker("certifying", "sign_step", "inspect", "release"),
        "controller": a_worker("controller"),
        "stores": a_worker("stores"),
        "auditor": a_worker("auditor"),
        "administrator": a_worker("administrator"),
    }


def a_step_list(kind: Kind, code: str = "OW") -> StepList:
    """A list of every sort of step, with the rules of signing in force."""
    RuleSet.objects.get_or_create(
        code="SIGN",
        revision="3",
        document="MOE-2.23",
        from_on=day("2020-01-01"),
        may_reinspect=True,
        step_statement="I have done this step as the data require.",
        inspection_statement="I have inspected this step independently.",
        reinspection_statement="I have inspected my own work again.",
        release_statement="I certify that the work was carried out as the data require.",
        defaults={"recorded_at": BEFORE},
    )
    made = StepList.objects.create(
        code=code,
        revision="1",
        title="Overwing slide: off and on",
        kind=kind,
        document="CM-25-66",
        document_revision="5",
        from_on=day("2020-01-01"),
        recorded_at=BEFORE,
    )
    for number, (phase, sort, words, rule, more) in enumerate(STEPS, start=1):
        Step.objects.create(
            step_list=made, number=number, phase=phase, sort=sort, words=words, rule=rule, **more
        )
    return made


def a_tool(code: str, sort: str, **more: Any) -> Tool:
    """A tool calibrated for long."""
    made = Tool.objects.create(
        code=code, sort=sort, description=f"{sort} {code}", recorded_at=BEFORE, **more
    )
    Calibration.objects.create(
        tool=made,
        sort="calibrated",
        done_on=day("2026-01-01"),
        due_on=day("2099-01-01"),
        certificate="CAL-1",
        recorded_at=BEFORE,
    )
    return made


def a_line() -> Line:
    """An aircraft with a slide, one more in the store with its certificate, a step list and tools."""
    kind = a_kind("OWSLIDE")
    station = a_station("QTLH")
    aircraft = an_aircraft(of_type=an_aircraft_type(POSITION, kind=kind), station=station)
    part = a_part("HLY-OW-210", kind=kind)
    a_fit(part, aircraft, POSITION)
    old, new = (a_unit(part, serial_number=serial) for serial in ("00417", "00533"))
    installed(old, at_position(aircraft, POSITION), "2026-01-05")
    moved(new, "received", in_store(station), "2026-02-05")
    Certificate.objects.create(
        unit=new,
        form="Form 1",
        tracking_number="C-533",
        issued_on=day("2026-02-01"),
        issuer="Shop",
        status="overhauled",
        recorded_at=BEFORE,
    )
    a_tool("VT-1", "wrench", length_mm=230)
    a_tool("VT-2", "ohmmeter")
    return Line(aircraft, station, kind, old, new, a_step_list(kind))


def signed_in(user: User) -> Client:
    client = Client()
    client.force_login(user, "django.contrib.auth.backends.ModelBackend")
    return client

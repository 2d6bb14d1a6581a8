"""Every question to the app above is really asked: while nobody answers it, nothing is done and nothing is fine.

The program does not start so (``tests/fleet/test_ports.py``); here one answerer is taken away at a time.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from equipment.availability.acts.fillings import Use, record_filling
from equipment.availability.acts.requalifications import Requalifying, record_requalification
from equipment.availability.ports import bottle_limits_of, record_requalified_works
from equipment.findings.walk.ports import expiries_of
from equipment.findings.walk.record import on_record
from equipment.ledger.facts import When
from equipment.models import (
    CylinderDesign,
    CylinderSpecification,
    Filling,
    Requalification,
    Reservation,
    ShopOrder,
    Signature,
    Swap,
    SwapEnd,
    Unit,
)
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.ports import expired_among, not_cleared_of, programme_followed_by
from equipment.stores.ports import (
    known_works,
    limit_starts,
    nested_scope,
    proposed_to_set_aside,
    record_certified_works,
)
from equipment.stores.reads.clerk_day import proposed_for, to_hand_out, waiting_in_stock
from equipment.stores.reads.shop_loop import at_shops, scope_of_order
from equipment.swaps.ports import (
    life_status_of,
    record_earned_works,
    release_obstacles,
)
from equipment.swaps.reads.state import state_of
from equipment.units.acts.lots import SplitOff, split_off
from equipment.units.labels import unit_label
from equipment.units.ports import (
    ends_first,
    life_totals_of,
    published_periods_of,
    works_of_lot_follow,
)
from fleet.aircraft.doors import with_groundings
from fleet.aircraft.ports import groundings_of
from fleet.house.desks import ROLES
from fleet.house.ports import Port, PortFault, declared
from fleet.loading.own import OwnReader
from fleet.loading.ports import equipment_on_record, reckoned_beside, stamp_told
from fleet.models import Load
from fleet.offers.ports import keep_in_draft, open_drafts_for
from fleet.own_sheets.said import Said
from fleet.people.ports import open_jobs_of
from scheduling.models import Work, WorkDone
from tests import builders as build
from tests import builders_swaps as swaps
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.equipment.stores.world import AT, TODAY, a_line, a_stocked_unit, a_work, received, works
from tests.scheduling.planning.world import a_check

from .segregated_doors import DOORS, Door, is_on, line_of, loaded, signed_in
from .segregated_stage import GOOD, NOON, a_stage

pytestmark = pytest.mark.django_db


def question(port: Port[..., Any]) -> str:
    return port.question


@pytest.fixture
def silence(monkeypatch):
    """``silence(port)``: nobody answers it any longer."""
    return lambda port: monkeypatch.setattr(port, "answer", None)


@pytest.fixture
def job(db):
    Work.objects.create(code="WEIGHING", name="Weighing")
    made = swaps.a_job()
    made.do_all()
    return made


@pytest.mark.parametrize(
    "port", [release_obstacles, record_earned_works, life_status_of], ids=question
)
def test_no_swap_is_released(job, port, silence):
    silence(port)

    with pytest.raises(PortFault, match=port.question):
        job.release()

    assert not SwapEnd.objects.exists()
    assert not Signature.objects.filter(sort=Signature.RELEASE).exists()
    assert not WorkDone.objects.exists()


def test_answered_it_is_released_with_its_works(job):
    job.release()

    assert SwapEnd.objects.get().works == ["WEIGHING"]
    assert WorkDone.objects.get().unit == job.new


def test_no_page_says_that_nothing_stands_in_the_way_of_a_release(job, silence):
    silence(release_obstacles)

    with pytest.raises(PortFault, match=release_obstacles.question):
        state_of(job.swap)


# --- use --------------------------------------------------------------------------------------


def doors_of_use() -> dict[str, Door]:
    """Those that answer at once. A proposal keeps what it failed on, so nothing is set aside by it."""
    named = {
        "reserve": ["API"],
        "issue": DOORS["issue"],
        "fit": [door for door in DOORS["fit"] if door != "sheet"],
    }
    return {f"{act}: {door}": DOORS[act][door] for act, doors in named.items() for door in doors}


@pytest.fixture
def stage(program, silence, settings, tmp_path):  # noqa: F811
    """A good spare, of which nobody says whether anything of it has run out."""
    settings.DATA_DIR = tmp_path
    with time_machine.travel(NOON, tick=False):
        made = a_stage(GOOD)
        for role, _ in ROLES:
            program(role)
        silence(expired_among)
        silence(release_obstacles)  # what a swap asks in its place
        yield made


@pytest.mark.parametrize("door", doors_of_use())
def test_no_unit_is_set_aside_issued_or_fitted(door, stage, program):  # noqa: F811
    with pytest.raises(PortFault, match=f"{expired_among.question}|{release_obstacles.question}"):
        doors_of_use()[door](stage, program)

    assert not is_on(stage, stage.empty)
    assert not SwapEnd.objects.exists()
    assert not Reservation.objects.filter(issued_at__isnull=False).exists()


def test_no_load_fits_a_unit_and_it_says_that_the_program_is_at_fault(stage, program):  # noqa: F811
    loaded(program, [line_of(stage, "installed", "2027-06-01", stage.empty)])

    assert "fault of its own (PortFault)" in Load.objects.get().fault
    assert not is_on(stage, stage.empty)


def test_no_bottle_is_filled(job, silence):
    silence(bottle_limits_of)

    with pytest.raises(PortFault, match=bottle_limits_of.question):
        record_filling(
            by=job.technician,
            unit_id=job.new.pk,
            use=Use(build.day("2027-05-30")),
            act_id=uuid4(),
            at=build.NOW,
        )

    assert not Filling.objects.exists()


def test_no_swap_is_opened_under_rules_of_which_nobody_was_asked(silence):
    silence(programme_followed_by)

    with pytest.raises(PortFault, match=programme_followed_by.question):
        swaps.a_job(swaps.SHORT).open()

    assert not Swap.objects.exists()


def test_no_cylinder_is_requalified_without_its_work(job, silence):
    specification = CylinderSpecification.objects.create(
        code="3E", document="x", recorded_at=build.NOW
    )
    CylinderDesign.objects.create(
        part_number=job.new.part_number, specification=specification, service_psig=1000
    )
    silence(record_requalified_works)
    test = Requalifying(job.new.pk, marking="A1 9 26 E 32", operator="Shop", is_sound=True)

    with pytest.raises(PortFault, match=record_requalified_works.question):
        record_requalification(by=build.a_person("stores"), test=test, act_id=uuid4(), at=build.NOW)

    assert not Requalification.objects.exists()


@pytest.mark.parametrize("port", [record_certified_works, known_works], ids=question)
def test_nothing_is_received_of_which_a_paper_certifies_works(port, silence):
    works()
    build.a_part("HS-1")
    silence(port)

    with pytest.raises(PortFault, match=port.question):
        received(a_line(works=(a_work(),)))

    assert not Unit.objects.exists()
    assert not WorkDone.objects.exists()


def test_no_lot_is_split_whose_works_would_not_follow(silence):
    lot = a_stocked_unit(part=build.a_part(is_lot=True), quantity=6)
    silence(works_of_lot_follow)

    with pytest.raises(PortFault, match=works_of_lot_follow.question):
        split_off(
            by=build.a_person("stores"),
            off=SplitOff(lot.pk, 2, When(AT, "instant")),
            act_id=uuid4(),
            at=AT,
        )


# --- reads ------------------------------------------------------------------------------------


def starts_on_the_page():
    clerk = build.a_person("stores")
    signed_in(clerk).get(reverse("equipment:stores_received", args=[a_stocked_unit().pk]))


def aircraft_on_the_page():
    signed_in(build.a_person("controller")).get(reverse("fleet:aircraft_list"))


def unit_on_its_page():
    reader = signed_in(build.a_person("controller"))
    reader.get(reverse("equipment:unit", args=[a_stocked_unit().pk]))


def a_cylinder_on_its_page():
    unit = a_stocked_unit()
    asked = {"document": "x", "recorded_at": build.NOW}
    specification, _ = CylinderSpecification.objects.get_or_create(code="3AA", defaults=asked)
    CylinderDesign.objects.get_or_create(
        part_number=unit.part_number, specification=specification, service_psig=1850
    )
    signed_in(build.a_person("controller")).get(reverse("equipment:unit", args=[unit.pk]))


def aircraft_by_api():
    with_groundings([build.an_aircraft()])


def a_persons_page():
    person = build.a_person("technician")
    signed_in(person).get(reverse("fleet:people_person", args=[person.pk]))


def the_page_of_a_check(**more):
    """What it shows of a check that is moved."""
    check = a_check(build.an_aircraft(), 100, "A1")
    day = check.starts_on.isoformat()
    said = {"name": "A1", "starts_on": day, "ends_on": day, "station": check.station_id}
    address = reverse("scheduling:check_change", args=[check.pk])
    return signed_in(build.a_person("controller")).post(address, said | more)


@dataclass
class OwnSpreadsheet:
    """One that names one unit, read and compared as a load does it."""

    reader: OwnReader
    path: Path

    def tables(self):
        return self.reader(self.path, "own.csv", 1_000)

    def beside(self):
        return self.reader.beside()


def own_spreadsheet(more: tuple[str, str] = ("", "")) -> OwnSpreadsheet:
    """``more``: further headings, and what stands beneath them."""
    head, line = more
    path = Path(tempfile.mkdtemp()) / "own.csv"
    told = "Q-OWN,1L,Slide,P-10,S0001,2024-02-01"
    path.write_text(f"A/C,POS,ITEM,P/N,S/N,OVH DONE{head}\n{told}{line}\n")
    said = Said(station="QMB", type="T-1").as_json()
    return OwnSpreadsheet(OwnReader(said, TODAY), path)


#: What is read of the app above, through whatever reads it.
READS = [
    (limit_starts, starts_on_the_page),
    (
        nested_scope,
        lambda: scope_of_order(
            ShopOrder(pk=1, unit=a_stocked_unit(), works=["OH"], promised_on=TODAY)
        ),
    ),
    (known_works, lambda: at_shops(TODAY)),
    (proposed_to_set_aside, lambda: to_hand_out(today=TODAY, at=AT)),
    (proposed_to_set_aside, lambda: proposed_for(1, TODAY)),
    (expiries_of, lambda: on_record([a_stocked_unit()], TODAY)),
    (expired_among, lambda: uses_of([a_stocked_unit().pk], Asked(TODAY, AT))),
    (not_cleared_of, lambda: waiting_in_stock(today=TODAY, at=AT)),
    (groundings_of, aircraft_on_the_page),
    (groundings_of, aircraft_by_api),
    (open_jobs_of, a_persons_page),
    (open_drafts_for, the_page_of_a_check),
    (keep_in_draft, lambda: the_page_of_a_check(keep="1", draft="March")),
    (ends_first, lambda: unit_label(a_stocked_unit().pk, on=TODAY, at=AT, is_demonstration=True)),
    (life_totals_of, unit_on_its_page),
    (published_periods_of, a_cylinder_on_its_page),
    (equipment_on_record, lambda: own_spreadsheet().tables()),
    (reckoned_beside, lambda: own_spreadsheet().beside()),
    (stamp_told, lambda: own_spreadsheet((",SPEC,TEST PSI", ",3AA,3083")).tables()),
]


@pytest.mark.parametrize(("port", "read"), READS)
def test_no_list_is_shown_empty_of_what_nobody_was_asked(port, read, silence):
    read()
    silence(port)

    with pytest.raises(PortFault, match=port.question):
        read()


def test_every_question_is_tried_here():
    acts = {release_obstacles, record_earned_works, life_status_of, bottle_limits_of}
    acts |= {programme_followed_by, record_requalified_works}

    acts |= {works_of_lot_follow}

    assert {*dict(READS), *acts, record_certified_works} == set(declared())

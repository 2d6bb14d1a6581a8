"""A unit with an empty inner position, or a limit unknown, is neither complete nor available: said by label, tag and
set-aside label, asked about where it is fitted by page, program or sheet, and in the way of a swap's release."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
import time_machine

from equipment.availability.acts.tag_facts import TagFact
from equipment.availability.acts.tags import tag_unit
from equipment.judging.release.obstacles import stands_in_the_way
from equipment.models import Movement, Reservation
from equipment.segregation.shop_first import counting_tag
from equipment.stores.acts.issues import issue_unit
from equipment.swaps.reads.state import state_of
from equipment.units import labels
from fleet.aircraft.ports import groundings_of
from tests import builders as build
from tests import builders_swaps as swaps
from tests.agreement.segregated_doors import loaded
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.equipment.availability.test_using import need, reserve
from tests.equipment.stores.test_by_decision import DECISION, SHORT, made_so, with_empty_position
from tests.equipment.stores.world import AT, TODAY

pytestmark = pytest.mark.django_db
__all__ = ["need"]
TITLES = {"unit_incomplete": "Not complete", "limit_unknown": "Limit unknown"}


@pytest.fixture(autouse=True)
def noon(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    # Later than all that the world records: what the same load enters is a history, and not asked about.
    with time_machine.travel(AT + timedelta(minutes=30), tick=False):
        yield


@pytest.mark.parametrize("code", SHORT)
def test_no_label_and_no_tag_says_serviceable(need, code, as_owner):
    held = reserve(need)
    made_so(need, code, as_owner)
    by = build.a_person("stores")
    fact = TagFact("serviceable", "shop")
    tag_unit(by=by, unit_id=need.unit.pk, tag=fact, tagged_at=AT, act_id=uuid4(), at=AT)
    now = {"on": TODAY, "at": AT, "is_demonstration": False}

    label = labels.unit_label(need.unit.pk, **now)
    tag = labels.unit_tag(counting_tag(need.unit.pk, AT), **now)
    aside = labels.set_aside_label(held.pk, **now)

    assert (label.title, tag.title) == (TITLES[code], "Not serviceable")
    assert aside.title == f"Not for use: {TITLES[code].lower()}"
    assert label.is_striking and tag.is_striking and aside.is_striking


def fitted_by_program(need, program, **more):  # noqa: F811
    move = {
        "unit": need.unit.pk,
        "sort": "installed",
        "place": {
            "sort": "aircraft",
            "aircraft": need.aircraft.registration,
            "position": "D1L-SLIDE",
        },
        "happened_at": "2027-06-01T10:00:00Z",
    }
    body = {"act_id": str(uuid4()), "movements": [move], **more}
    return program("stores").post("/api/v1/movements", body, format="json")


def test_a_program_that_fits_it_is_asked_and_what_it_confirms_grounds_the_aircraft(
    need,
    program,  # noqa: F811
    as_owner,
):
    with as_owner():
        with_empty_position(need)

    asked = fitted_by_program(need, program)
    kept = fitted_by_program(need, program, is_confirmed=True)

    assert "unit_incomplete" in {each["code"] for each in asked.json()["errors"]}
    assert kept.status_code == 201
    assert not Movement.objects.get(sort="installed", unit=need.unit).is_conforming
    assert "does_not_conform" in {
        each.code for each in groundings_of([need.aircraft.pk], TODAY)[need.aircraft.pk]
    }


def test_a_sheets_line_that_fits_it_is_refused(need, program, as_owner):  # noqa: F811
    with as_owner():
        with_empty_position(need)
    line = {
        "Part number": need.unit.part_number.number,
        "Serial number": need.unit.serial_number,
        "Movement": "installed",
        "Happened on": "2027-06-01",
        "To": "a position of an aircraft",
        "Aircraft": need.aircraft.registration,
        "Position": "D1L-SLIDE",
        "Station": "",
    }

    assert "unit_incomplete" in loaded(program, [line])
    assert not Movement.objects.filter(sort="installed", unit=need.unit).exists()


def test_handed_over_by_a_named_decision_it_is_fitted_unasked(need, program, as_owner):  # noqa: F811
    held = reserve(need)
    with as_owner():
        with_empty_position(need)
    issue_unit(
        by=build.a_person("stores"), reservation_id=held.pk, at=AT, to="R. Oake", decision=DECISION
    )

    assert fitted_by_program(need, program).status_code == 201
    assert Movement.objects.get(sort="installed", unit=need.unit).is_conforming
    assert Reservation.objects.get().issue_decision == DECISION


def test_what_the_same_act_puts_into_it_completes_it(need, program, as_owner):  # noqa: F811
    with as_owner():
        with_empty_position(need)
    kind = need.unit.part_number.positions.get().kind
    light = build.a_unit(build.a_part("LT-7", kind=kind))
    inner = {
        "unit": light.pk,
        "sort": "installed",
        "place": {"sort": "inside", "inside_unit": need.unit.pk, "position": "LIGHT"},
        "happened_at": "2027-06-01T09:00:00Z",
    }
    outer = {
        "unit": need.unit.pk,
        "sort": "installed",
        "place": {
            "sort": "aircraft",
            "aircraft": need.aircraft.registration,
            "position": "D1L-SLIDE",
        },
        "happened_at": "2027-06-01T10:00:00Z",
    }
    body = {"act_id": str(uuid4()), "movements": [inner, outer], "is_confirmed": True}

    program("stores").post("/api/v1/movements", body, format="json")

    reasons = Movement.objects.get(sort="installed", unit=need.unit).reasons
    assert "unit_incomplete" not in {each["code"] for each in reasons}


def test_a_swap_is_not_released_with_it(as_owner):
    job = swaps.a_job(swaps.SHORT)
    job.do_all()
    with as_owner():
        job.new.part_number.positions.create(code="LIGHT", name="Light", kind=build.a_kind("LIGHT"))

    [obstacle] = stands_in_the_way(state_of(job.swap, job.now))

    assert obstacle.code == "nested_unaccounted"
    assert "LIGHT" in obstacle.sentence

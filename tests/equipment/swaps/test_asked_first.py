"""A unit that may not be there is asked about before it is recorded, and kept as it is once confirmed."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from equipment.codes.near import is_one_off
from equipment.models import Discrepancy, Movement, SwapMovement
from equipment.swaps.acts import FoundUnit
from fleet.house.refusals import Refused
from fleet.models import TypePosition
from tests import builders as build
from tests import builders_swaps as swaps
from tests.api.conftest import administrator, program, secret_of  # noqa: F401

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(db):
    made = swaps.a_job(swaps.SHORT)
    made.open()
    return made


def asked(record, **more):
    with pytest.raises(Refused) as told:
        record(is_confirmed=False, **more)
    assert not SwapMovement.objects.exists()
    assert not Discrepancy.objects.exists()
    codes = [each.code for each in told.value.refusals]
    assert codes.pop() == "confirm_first"
    return set(codes), " ".join(each.message for each in told.value.refusals)


def of_serial(job, serial, part=None):
    return build.a_unit(part or job.old.part_number, serial_number=serial)


def elsewhere(job, unit):
    craft = build.an_aircraft(of_type=job.aircraft.aircraft_type)
    build.installed(unit, build.at_position(craft), "2027-03-01 08:00")
    return craft


# --- what is asked ----------------------------------------------------------------------------


def test_what_is_expected_is_recorded_without_a_question(job):
    assert job.take_off(is_confirmed=False).is_conforming
    assert job.put_on(is_confirmed=False).is_conforming


def test_a_serial_one_character_off_the_one_on_record_is_asked_about(job):
    meant = job.old.serial_number
    other = of_serial(job, meant[:-1] + ("0" if meant[-1] != "0" else "9"))

    codes, words = asked(lambda **more: job.take_off(other, **more))

    assert "did_you_mean" in codes
    assert meant in words


def test_one_character_off_the_planned_one_too_and_a_plate_on_no_record(job):
    typo = FoundUnit(job.new.part_number.number, job.new.serial_number + "1")

    codes, words = asked(lambda **more: job.put_on(unit_id=None, found=typo, **more))

    assert codes == {"did_you_mean", "unknown_unit"}
    assert job.new.serial_number in words


def test_a_unit_on_record_elsewhere_is_asked_about(job):
    other = of_serial(job, "ZZ-1")
    craft = elsewhere(job, other)
    job.take_off()
    SwapMovement.objects.count()

    with pytest.raises(Refused) as told:
        job.put_on(other, is_confirmed=False)

    assert "unit_recorded_elsewhere" in {each.code for each in told.value.refusals}
    assert craft.registration in told.value.message


def test_a_part_that_is_not_listed_is_asked_about(job):
    build.a_fit(job.old.part_number, job.aircraft, "D1L-SLIDE")
    other = build.a_unit(build.a_part(kind=job.old.part_number.kind))
    build.moved(other, "received", build.in_store(job.station), "2027-03-01")

    codes, _ = asked(lambda **more: job.put_on(other, **more))

    assert "part_does_not_fit" in codes


@pytest.fixture
def other_hand(job):
    """A spare listed for the door across, on the other side."""
    here = job.aircraft.aircraft_type.positions.get(code="D1L-SLIDE")
    here.side = "left"
    across = TypePosition.objects.create(
        aircraft_type=here.aircraft_type,
        code="D1R-SLIDE",
        name="Door 1 right slide",
        kind=here.kind,
        side="right",
        x_cm=100,
        y_cm=100,
    )
    here.save()
    build.a_fit(job.old.part_number, job.aircraft, "D1L-SLIDE")
    part = build.a_part(kind=job.old.part_number.kind)
    build.a_fit(part, job.aircraft, across.code)
    unit = build.a_unit(part)
    build.moved(unit, "received", build.in_store(job.station), "2027-03-01")
    return unit


def test_the_wrong_hand_is_called_the_wrong_hand(job, other_hand):
    codes, words = asked(lambda **more: job.put_on(other_hand, **more))

    assert {"wrong_hand", "part_does_not_fit"} <= codes
    assert "Wrong hand" in words
    assert "D1R-SLIDE" in words


def test_confirmed_the_truth_is_kept_and_says_so(job, other_hand):
    done = job.put_on(other_hand, is_confirmed=True)

    assert not done.is_conforming
    assert "Wrong hand" in Discrepancy.objects.get().words


def test_a_unit_of_another_station_s_store_is_asked_about_and_conforms_once_confirmed(job):
    far = of_serial(job, "FAR-1")
    build.moved(far, "received", build.in_store(build.a_station("QVMR")), "2027-03-01")
    job.take_off()

    with pytest.raises(Refused) as told:
        job.put_on(far, is_confirmed=False)

    assert told.value.code == "at_another_station"
    assert "QVMR" in told.value.message
    assert job.put_on(far, is_confirmed=True).is_conforming


# --- by every door ----------------------------------------------------------------------------


def page_of(job):
    client = Client()
    client.force_login(job.technician)
    return client


def sent(job, unit, **more):
    return {
        "act_id": str(uuid4()),
        "unit": unit.pk,
        "happened_at": "2027-06-01T08:00",
        "to": "quarantine",
        "tag": "unserviceable",
        "why": "limit",
        **more,
    }


@pytest.fixture
def typo(job):
    return of_serial(job, job.old.serial_number + "0")


def test_the_page_asks_and_keeps_it_once_confirmed(job, typo, time_machine):
    time_machine.move_to(build.NOW)
    address, client = reverse("equipment:swap_off", args=[job.swap.pk]), page_of(job)
    body = sent(job, typo)

    first = client.post(address, body)

    page = first.content.decode()
    assert first.status_code == 422
    assert "did you mean that?" in page
    assert 'name="is_confirmed"' in page
    assert not Movement.objects.filter(unit=typo).exists()

    assert client.post(address, {**body, "is_confirmed": "on"}).status_code == 302
    assert not Movement.objects.get(unit=typo).is_conforming


def test_the_api_asks_and_keeps_it_once_confirmed(job, typo, program, time_machine):  # noqa: F811
    time_machine.move_to(build.NOW)
    address = f"/api/v1/swaps/{job.swap.pk}/removal"
    body = {
        "act_id": str(uuid4()),
        "unit": typo.pk,
        "happened_at": "2027-06-01T08:00:00Z",
        "place": {"sort": "quarantine", "station": job.station.code},
        "tag": {"sort": "unserviceable", "why": "limit"},
    }
    client = program("technician")

    first = client.post(address, body, format="json")

    assert first.status_code == 422
    assert {"did_you_mean", "confirm_first"} <= {each["code"] for each in first.json()["errors"]}
    done = client.post(address, {**body, "is_confirmed": True}, format="json")
    assert done.status_code == 201
    assert done.json()["is_conforming"] is False


@pytest.mark.parametrize(
    ("one", "other", "is_one"),
    [
        ("B0444", "B0404", True),
        ("B0404", "B0404", False),
        ("B0440", "B0404", True),
        ("B044", "B0444", True),
        ("BO404", "B0404", True),
        ("B0555", "B0404", False),
        ("", "B", True),
        ("B1404", "B0405", False),
    ],
)
def test_one_character_off(one, other, is_one):
    assert is_one_off(one, other) is is_one
    assert is_one_off(other, one) is is_one

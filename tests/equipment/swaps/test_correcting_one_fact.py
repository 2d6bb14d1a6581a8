"""One serial typed wrongly is one fact corrected: by a signature of its own, and nothing is signed again."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from equipment.common.digests import digest_of
from equipment.models import Signature, Swap, Unit, UnitTag
from equipment.segregation.facts import Asked, uses_of
from equipment.swaps.acts.correcting import UnitCorrection, correct_swap_unit
from equipment.swaps.pages.shown import swap_page, whole_swap
from fleet.house.refusals import Refused
from scheduling.models import Work, WorkDone
from tests import builders as build
from tests import builders_swaps as swaps
from tests.api.conftest import administrator, program, secret_of  # noqa: F401

from .test_prints import paper_of, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(db):
    """Released with the wrong spare recorded as gone on; the right one lies in the store still."""
    Work.objects.create(code="WEIGHING", name="Weighing")
    made = swaps.a_job(
        people=(
            swaps.a_technician(),
            swaps.an_inspector(),
            swaps.a_certifier(password=swaps.PASSWORD),
        )
    )
    made.right = build.a_unit(made.old.part_number, serial_number=made.new.serial_number + "7")
    build.moved(made.right, "received", build.in_store(made.station), "2027-03-01")
    swaps.a_certificate(made.right)
    made.do_all()
    made.release()
    return made


def corrected(job, by=None, **more):
    at = job.tick()
    correction = UnitCorrection("on", job.right.pk, "7 was left out.", **more)
    return correct_swap_unit(
        proof=swaps.proof_of(by or job.certifier, at),
        swap_id=job.swap.pk,
        correction=correction,
        act_id=uuid4(),
        at=at,
    )


def place_of(unit):
    return Unit.objects.get(pk=unit.pk).place.sort


def test_it_takes_one_signature_and_the_records_are_right(job):
    signed = corrected(job)

    assert (place_of(job.right), place_of(job.new)) == ("aircraft", "store")
    assert (signed.sort, signed.swap, signed.reason) == ("correction", job.swap, "7 was left out.")
    assert signed.digest == digest_of(signed.content)
    assert signed.authorisation_words
    assert Swap.objects.count() == 1


def test_everything_that_was_signed_stands(job):
    before = Signature.objects.count()

    corrected(job)

    shown = swap_page(whole_swap(job.swap.pk))
    assert Signature.objects.count() == before + 1
    assert {row.condition for row in shown.rows if row.is_needed} == {"done"}
    assert shown.on.unit_id == job.right.pk


def test_the_works_that_were_earned_follow_the_unit(job):
    corrected(job)

    standing = WorkDone.objects.filter(corrected_by=None, is_annulment=False)
    assert [work.unit for work in standing] == [job.right]


def test_the_tag_of_what_came_off_follows_the_unit():
    job = swaps.a_job(swaps.SHORT)
    meant = job.old
    wrong = build.a_unit(meant.part_number)
    place = build.at_position(build.an_aircraft(of_type=job.aircraft.aircraft_type))
    build.installed(wrong, place, "2027-03-01 08:00")
    UnitTag.objects.create(
        act_id=uuid4(),
        unit=wrong,
        swap=_released(job),
        sort="unserviceable",
        why="limit",
        tagged_at=build.instant("2027-06-01 08:00"),
        recorded_at=build.NOW,
        recorded_by=job.technician,
    )
    assert _use(wrong).unserviceable
    assert _use(meant).unserviceable


def _released(job):
    job.open(), job.take_off(), job.put_on(), job.do_steps()
    job.release()
    return job.swap


def _use(unit):
    asked = Asked(build.day("2027-06-01"), build.NOW.replace(hour=23), with_expired=False)
    return uses_of([unit.pk], asked)[unit.pk]


def test_entered_again_the_tag_of_the_wrong_unit_was_never_its_own():
    job = swaps.a_job(swaps.SHORT)
    wrong = build.a_unit(job.old.part_number)
    build.moved(wrong, "received", build.in_store(job.station), "2027-03-01")
    job.open()
    job.take_off(wrong)
    assert _use(wrong).unserviceable

    job.take_off(job.old)

    assert not _use(wrong).unserviceable
    assert _use(job.old).unserviceable


def test_screen_and_paper_say_what_was_corrected_by_whom(job):
    signed = corrected(job)

    words = words_of(paper_of(job))

    assert signed.statement in words
    assert job.new.serial_number in words
    assert "one fact corrected" in words


@pytest.mark.parametrize("who", ["technician", "controller"])
def test_only_who_may_release_signs_it(job, who):
    by = job.technician if who == "technician" else build.a_person("controller")

    with pytest.raises(Refused) as told:
        corrected(job, by)

    assert told.value.code in {"not_permitted", "not_authorised"}
    assert place_of(job.right) == "store"


def test_a_unit_that_may_not_be_there_is_asked_about(job):
    other = build.an_aircraft(of_type=job.aircraft.aircraft_type)
    job.right = build.a_unit(job.old.part_number)
    build.installed(job.right, build.at_position(other), "2027-03-01 08:00")

    with pytest.raises(Refused) as told:
        corrected(job)

    assert "confirm_first" in {each.code for each in told.value.refusals}


def test_an_open_swap_is_not_corrected_so(job):
    again = swaps.a_job(swaps.SHORT, people=(job.technician, job.inspector, job.certifier))
    again.open()
    again.right = job.right

    with pytest.raises(Refused, match="released"):
        corrected(again)


# --- by page and by program -------------------------------------------------------------------


def test_by_its_page(job, time_machine):
    time_machine.move_to(job.tick())
    client = Client()
    client.force_login(job.certifier)
    address = reverse("equipment:swap_correct_unit", args=[job.swap.pk])
    body = {
        "act_id": str(uuid4()),
        "role": "on",
        "code": f"{job.right.part_number.number} {job.right.serial_number}",
        "reason": "7 was left out.",
        "username": job.certifier.username,
        "password": swaps.PASSWORD,
    }

    answer = client.post(address, body)

    assert answer.status_code == 302, answer.content.decode()
    assert place_of(job.right) == "aircraft"
    assert "Correct one unit" in client.get(address).content.decode()


def test_by_program(job, program, time_machine):  # noqa: F811
    time_machine.move_to(job.tick())
    body = {
        "act_id": str(uuid4()),
        "role": "on",
        "unit": job.right.pk,
        "reason": "7 was left out.",
        "username": job.certifier.username,
        "password": swaps.PASSWORD,
    }
    address = f"/api/v1/swaps/{job.swap.pk}/unit-correction"

    done = program("certifying").post(address, body, format="json")

    assert done.status_code == 201, done.json()
    assert done.json()["sort"] == "correction"
    assert place_of(job.right) == "aircraft"


def test_an_overwritten_value_stays_readable_on_the_step(job):
    again = swaps.a_job(swaps.SHORT)
    again.open()
    again.enter(7, {"value": "90", "drag": "2"})
    again.enter(7, {"value": "62", "drag": "2"})
    client = Client()
    client.force_login(again.technician)

    page = client.get(reverse("equipment:swap_step", args=[again.swap.pk, 7])).content.decode()

    first = again.swap.entries.order_by("pk").first()
    assert "Entered before, and replaced: 1" in page
    assert first.sentence in page

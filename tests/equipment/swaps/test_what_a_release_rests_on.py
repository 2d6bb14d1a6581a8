"""What the release page says is what the swap, its unit and the aircraft say; what it rests on is read there."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.html import escape

from equipment.judging.release.obstacles import stands_in_the_way
from equipment.keeping.correct import annul_movements
from equipment.ledger.facts import AnnulmentFact
from equipment.models import Attachment, Discrepancy, SwapEnd
from equipment.swaps.reads.state import state_of
from fleet.aircraft.ports import groundings_of
from fleet.house.refusals import Refused
from tests import builders as build
from tests import builders_swaps as swaps

pytestmark = pytest.mark.django_db


def in_the_way(job):
    return {each.code for each in stands_in_the_way(state_of(job.swap, job.tick()))}


def release_page(job):
    client = Client()
    client.force_login(job.certifier)
    return client.get(reverse("equipment:swap_release", args=[job.swap.pk])).content.decode()


def refused(job):
    with pytest.raises(Refused) as told:
        job.release()
    assert not SwapEnd.objects.filter(swap=job.swap).exists()
    return {each.code for each in told.value.refusals}


@pytest.fixture
def job(db):
    made = swaps.a_job(swaps.SHORT)
    made.do_all()
    return made


def quarantined(job, unit):
    return build.moved(
        unit,
        "quarantined",
        build.in_quarantine(job.station),
        "2027-06-01 10:00",
        by=build.a_person("stores"),
        at=job.tick(),
    )


def codes_of_aircraft(job):
    found = groundings_of([job.aircraft.pk], build.day("2027-06-01"))
    return {each.code for each in found.get(job.aircraft.pk, ())}


def test_a_unit_in_a_quarantine_that_nobody_reconciled_is_refused(job):
    assert not quarantined(job, job.new).is_conforming

    assert in_the_way(job) == {"unit_not_reconciled"}
    assert refused(job) == {"unit_not_reconciled"}
    assert "Nothing stands in the way" not in release_page(job)
    assert "does_not_conform" in codes_of_aircraft(job)


def test_one_inside_it_too():
    job = swaps.a_job(swaps.SHORT)
    part = build.a_part("", "LIGHT", kind=job.old.part_number.kind)
    job.new, light = build.a_unit(part), build.a_unit()
    swaps.a_certificate(job.new)
    build.moved(job.new, "received", build.in_store(job.station), "2027-03-01")
    build.installed(light, build.inside(job.new), "2027-03-02")
    job.do_all()
    quarantined(job, light)

    assert refused(job) == {"unit_not_reconciled"}


def test_reconciled_it_is_released(job):
    done = quarantined(job, job.new)
    row = AnnulmentFact(done.movement_id, "It was another unit.", uuid4())
    annul_movements(by=build.a_person("controller"), rows=[row], at=job.tick())

    assert job.release()


def wrong_one(job):
    """A spare that stands on another aircraft, as our records say."""
    other = build.a_unit(job.old.part_number)
    craft = build.an_aircraft(of_type=job.aircraft.aircraft_type)
    build.installed(other, build.at_position(craft), "2027-03-01 08:00")
    return other


def test_a_swap_that_does_not_conform_is_refused_whatever_was_recorded_since(job):
    again = swaps.a_job(swaps.SHORT)
    again.open()
    again.take_off()
    again.put_on(wrong_one(again))
    again.do_steps()

    assert "discrepancy_open" in in_the_way(again)
    assert "discrepancy_open" in refused(again)
    assert "does_not_conform" in codes_of_aircraft(again)


def test_entered_again_rightly_it_conforms_for_swap_and_aircraft_alike():
    job = swaps.a_job(swaps.SHORT)
    job.open()
    job.take_off()
    job.put_on(wrong_one(job))
    job.put_on(job.new)
    job.do_steps()

    found = Discrepancy.objects.get(swap=job.swap)

    assert found.settlement.sort == "corrected"
    assert found.settlement.settled_by == job.technician
    assert in_the_way(job) == set()
    assert codes_of_aircraft(job) == {"swap_open"}
    assert job.release()
    assert codes_of_aircraft(job) == set()


# --- what it rests on -------------------------------------------------------------------------


def test_before_signing_one_reads_readings_with_limits_inspectors_certificate_and_photos():
    job = swaps.a_job()
    job.do_all()
    photo = Attachment.objects.create(
        act_id=uuid4(),
        swap=job.swap,
        step=job.step(12),
        name="pins.jpg",
        media_type="image/jpeg",
        size=3,
        sha256="0" * 64,
        content=b"\xff\xd8\xff",
        recorded_at=job.tick(),
        recorded_by=job.technician,
    )

    page = " ".join(release_page(job).split())

    read = job.swap.entries.get(step=job.step(7))
    certificate = job.new.certificates.get()
    for words in (
        read.sentence,
        read.tool.code,
        job.inspector.shown_name,
        f"{certificate.form} {certificate.tracking_number}",
        reverse("equipment:attachment", args=[photo.pk]),
    ):
        assert words in page, words


def test_a_program_reads_the_same_as_the_page():
    job = swaps.a_job()
    job.do_all()
    client = Client()
    client.force_login(job.certifier)

    told = client.get(f"/api/v1/swaps/{job.swap.pk}").json()["rests_on"]

    page = " ".join(release_page(job).split())
    assert told["readings"] and told["certificates"] and told["photos"] == []
    assert {each["sentence"] for each in told["readings"]} >= {
        job.swap.entries.get(step=job.step(7)).sentence
    }
    assert any(job.inspector.shown_name in each["inspected"] for each in told["readings"])
    said = [value for each in told["readings"] for value in each.values() if value]
    for words in [*said, *told["certificates"]]:
        assert " ".join(escape(str(words)).split()) in page, words


def test_a_step_of_a_photo_without_one_is_read_there(job):
    page = release_page(job)

    assert "No photo was taken." in page

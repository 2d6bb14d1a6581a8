"""A robbery takes the unit that was named, is one act by page and by program, and is what a role may record."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from equipment.models import OpenItem, Swap, Unit
from fleet.aircraft.ports import groundings_of
from tests import builders as build
from tests import builders_swaps as swaps
from tests.api.conftest import administrator, program, secret_of  # noqa: F401

pytestmark = pytest.mark.django_db
DOCUMENT = {
    "document": "QMEL 25-60-1 revision 9",
    "words": "Door 1 left without its slide.",
    "found_on": "2027-06-01",
    "expires_on": "2027-06-11",
}


@pytest.fixture(autouse=True)
def that_day(time_machine):
    time_machine.move_to(build.NOW)


@pytest.fixture
def job(db):
    made = swaps.a_job(swaps.SHORT)
    made.open()
    return made


@pytest.fixture
def donor(job):
    """Another aircraft with a slide that has a light in it."""
    made = swaps.a_job(kind=job.old.part_number.kind, tools=job.tools)
    part = build.a_part("", "LIGHT", kind=made.old.part_number.kind)
    made.slide, made.light = build.a_unit(part), build.a_unit()
    build.removed(made.old, build.SHOP, "2027-03-05")
    build.installed(made.slide, made.place, "2027-03-06 08:00")
    build.installed(made.light, build.inside(made.slide), "2027-03-06 09:00")
    swaps.a_step_list(build.a_kind(), swaps.SHORT)
    return made


def by_page(job, who, text, **more):
    client = Client()
    client.force_login(who)
    address = reverse("equipment:swap_rob", args=[job.swap.pk])
    body = {"act_id": str(uuid4()), "donor": text, "happened_on": "2027-06-01", **more}
    return client.post(address, body)


def place_of(unit):
    return Unit.objects.get(pk=unit.pk).place.sort


def test_the_light_named_is_the_one_taken_and_the_slide_stays(job, donor):
    text = f"{donor.aircraft.registration} D1L-SLIDE LIGHT"

    answer = by_page(job, job.certifier, text, **DOCUMENT)

    assert answer.status_code == 302, answer.content.decode()
    assert (place_of(donor.light), place_of(donor.slide)) == ("store", "aircraft")


def test_what_is_named_and_not_there_takes_nothing(job, donor):
    text = f"{donor.aircraft.registration} D1L-SLIDE BOTTLE"

    answer = by_page(job, job.certifier, text, **DOCUMENT)

    assert "BOTTLE" in answer.content.decode()
    assert (place_of(donor.light), place_of(donor.slide)) == ("inside", "aircraft")


def test_without_more_the_whole_slide_is_taken(job, donor):
    by_page(job, job.certifier, f"{donor.aircraft.registration} D1L-SLIDE", **DOCUMENT)

    assert place_of(donor.slide) == "store"


def test_a_technician_records_it_and_the_donor_is_grounded_until_a_document_is_named(job, donor):
    page = Client()
    page.force_login(job.technician)
    form = page.get(reverse("equipment:swap_rob", args=[job.swap.pk])).content.decode()
    assert 'name="document"' not in form
    assert "not releasable" in form

    answer = by_page(job, job.technician, f"{donor.aircraft.registration} D1L-SLIDE")

    assert answer.status_code == 302, answer.content.decode()
    assert place_of(donor.slide) == "store"
    assert not OpenItem.objects.exists()
    assert groundings_of([donor.aircraft.pk], build.day("2027-06-01"))[donor.aircraft.pk]


def body_of(donor, **more):
    return {
        "act_id": str(uuid4()),
        "place": {
            "sort": "aircraft",
            "aircraft": donor.aircraft.registration,
            "position": "D1L-SLIDE",
        },
        "happened_at": "2027-06-01T08:00:00Z",
        **more,
    }


def test_by_api_it_is_one_act(job, donor, program):  # noqa: F811
    client, body = program("certifying"), body_of(donor, opening=DOCUMENT)
    address = f"/api/v1/swaps/{job.swap.pk}/robbery"

    first = client.post(address, body, format="json")
    again = client.post(address, body, format="json")

    assert first.status_code == 201, first.json()
    assert again.status_code == 200
    assert again.json() == first.json()
    made = Swap.objects.get(pk=first.json()["swap"])
    assert (made.donor_of, made.sort) == (job.swap, "robbery")
    assert OpenItem.objects.get().pk == first.json()["open_item"]
    assert place_of(donor.slide) == "store"


def test_by_api_the_unit_inside_is_the_one_taken(job, donor, program):  # noqa: F811
    place = {"sort": "inside", "inside_unit": donor.slide.pk, "position": "LIGHT"}

    done = program("technician").post(
        f"/api/v1/swaps/{job.swap.pk}/robbery",
        {**body_of(donor), "place": place, "unit": donor.light.pk},
        format="json",
    )

    assert done.status_code == 201, done.json()
    assert done.json()["open_item"] is None
    assert (place_of(donor.light), place_of(donor.slide)) == ("store", "aircraft")


def test_by_api_a_technician_names_no_document(job, donor, program):  # noqa: F811
    done = program("technician").post(
        f"/api/v1/swaps/{job.swap.pk}/robbery", body_of(donor, opening=DOCUMENT), format="json"
    )

    assert done.status_code == 403
    assert place_of(donor.slide) == "aircraft"

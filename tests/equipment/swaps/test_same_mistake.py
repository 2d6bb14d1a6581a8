"""One person at two doors in one visit is warned (145.A.48(c))."""

from __future__ import annotations

import pytest

from equipment.models import StepList
from equipment.swaps.reads.same_mistake import same_mistake_of
from tests import builders as build
from tests.builders_swaps import Job, a_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def doors(db) -> tuple[Job, Job]:
    """Two doors of one aircraft, the same technician."""
    first = a_job()
    kind = first.old.part_number.kind
    of_type = build.an_aircraft_type("D1L-SLIDE", "D1R-SLIDE", kind=kind)
    aircraft = build.an_aircraft(of_type=of_type, station=first.station)
    assert StepList.objects.filter(kind=kind).exists()
    for job, code in ((first, "D1L-SLIDE"), (second := a_job(kind=kind), "D1R-SLIDE")):
        job.aircraft, job.place = aircraft, build.at_position(aircraft, code)
        job.technician = first.technician
    return first, second


def test_the_second_door_is_warned_of_the_first(doors):
    first, second = doors
    first.open()
    first.enter(2)
    second.open()

    warning = same_mistake_of(second.swap, second.technician)

    assert warning is not None
    assert "D1L-SLIDE" in warning


def test_another_person_is_not_warned(doors):
    first, second = doors
    first.open()
    first.enter(2)
    second.open()

    assert same_mistake_of(second.swap, second.certifier) is None


def test_one_door_alone_is_no_reason(doors):
    first, _ = doors
    first.open()
    first.enter(2)

    assert same_mistake_of(first.swap, first.technician) is None

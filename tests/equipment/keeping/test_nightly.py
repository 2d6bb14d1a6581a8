"""Every night what is kept is compared with the ledger; a difference is told to those who must know."""

from __future__ import annotations

import pytest
from django.db import connection

from equipment.keeping.tasks import tell_of_differences
from fleet.models import Notice
from tests import builders as build

pytestmark = pytest.mark.django_db


@pytest.fixture
def slide():
    unit = build.a_unit()
    build.installed(unit, build.at_position(build.an_aircraft()), "2020-01-01")
    return unit


def test_nothing_is_told_where_all_agrees(slide):
    build.a_person("controller")

    assert tell_of_differences(at=build.NOW) == 0
    assert not Notice.objects.exists()


def test_a_difference_is_told_to_the_controller_and_left_as_it_is(slide, as_owner):
    controller, clerk = build.a_person("controller"), build.a_person("stores")
    with as_owner(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM equipment_fittedperiod WHERE unit_id = %s", [slide.pk])

    assert tell_of_differences(at=build.NOW) > 0

    told = Notice.objects.get(to=controller)
    assert slide.serial_number in told.words
    assert told.link.endswith(f"/units/{slide.pk}/")
    assert not Notice.objects.filter(to=clerk).exists()
    assert tell_of_differences(at=build.NOW) > 0  # nothing was set right unseen

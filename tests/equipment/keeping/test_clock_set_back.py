"""The machine's clock was set back: what is recorded after that is recorded as ever, and nothing contradicts."""

from __future__ import annotations

from datetime import timedelta

import pytest

from equipment.keeping.repair import check_whereabouts
from equipment.ledger.fitted import fitted
from equipment.models import Movement
from tests import builders as build

pytestmark = pytest.mark.django_db
SET_BACK = build.NOW - timedelta(days=2)


@pytest.fixture
def aircraft():
    return build.an_aircraft()


def serials(aircraft, when):
    return [row.serial_number for row in fitted(aircraft, build.instant(when), None)]


def test_a_removal_recorded_at_an_earlier_moment_than_its_installation_is_taken(aircraft):
    slide, place = build.a_unit(), build.at_position(aircraft)
    earlier = build.installed(slide, place, "2020-01-01")

    done = build.removed(slide, build.in_store(build.a_station()), "2020-06-01", at=SET_BACK)

    removal = Movement.objects.get(pk=done.movement_id)
    assert removal.is_conforming
    # What was recorded later is never said to have been known before.
    assert removal.recorded_at >= Movement.objects.get(pk=earlier.movement_id).recorded_at
    assert serials(aircraft, "2020-03-01") == [slide.serial_number]
    assert serials(aircraft, "2020-07-01") == []
    assert list(check_whereabouts()) == []

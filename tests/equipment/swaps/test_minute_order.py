"""A moment on a page is said to the minute; the order within that minute is that of the record."""

from __future__ import annotations

import pytest

from equipment.ledger.facts import When
from equipment.swaps.acts import FoundUnit
from equipment.swaps.pages.units_meant import in_order
from tests import builders as build

pytestmark = pytest.mark.django_db
MINUTE = When(build.instant("2027-02-01 12:00"))


@pytest.fixture
def unit(db):
    """Received at twenty seconds past noon."""
    came = build.a_unit()
    build.moved(came, "received", build.in_store(build.a_station()), "2027-02-01 12:00:20")
    return came


def test_fitted_in_the_minute_in_which_it_came_it_is_fitted_after_it_came(unit):
    assert in_order(MINUTE, unit).at == build.instant("2027-02-01 12:00:20")


def test_another_minute_stays_as_it_is_said(unit):
    earlier = When(build.instant("2027-02-01 11:59"))

    assert in_order(earlier, unit) == earlier
    assert in_order(MINUTE, FoundUnit("HS-1", "77")) == MINUTE

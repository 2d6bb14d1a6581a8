from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.keeping.record import record_movements
from equipment.ledger.facts import MovementFact, When
from equipment.models import Movement
from equipment.swaps.pages.named import moved
from tests import builders as build

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("zone", ["Pacific/Auckland", "UTC", "America/Halifax"])
def test_a_day_alone_is_said_as_it_was_where_it_happened(zone):
    """In Auckland that day begins on the day before by UTC."""
    when = When.on(build.day("2027-05-03"), zone)
    row = MovementFact(build.a_unit().pk, "received", build.in_store(build.a_station()), when)

    record_movements(by=build.a_person("stores"), rows=[row], act_id=uuid4(), at=build.NOW)

    assert moved(Movement.objects.get(), is_off=False).more == "3 May 2027"

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest

from fleet.house.refusals import Refused
from fleet.models import UtilisationReading
from fleet.utilisation.acts.readings import NewReading, record_readings
from tests import builders as build

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)
HOUR = timedelta(hours=1)


def read(read_at, **more):
    row = NewReading(build.an_aircraft().pk, build.the_hours().pk, read_at, 90_000, uuid4(), **more)
    return record_readings(by=build.a_person("controller"), rows=[row], now=NOW)


def test_a_total_read_at_an_hour_to_come_is_refused():
    with pytest.raises(Refused) as refused:
        read(NOW + HOUR, is_date_only=False)

    assert (refused.value.code, refused.value.field) == ("in_the_future", "read_at")
    assert not UtilisationReading.objects.exists()


@pytest.mark.parametrize("offset", range(-11, 13))
def test_a_total_read_on_a_day_that_goes_on_is_not(offset):
    """A day alone is given by its end, in its own zone: that lies before us, its day has begun."""
    end = datetime(2027, 3, 3, 23, 59, 59, tzinfo=UTC) - offset * HOUR

    (made,) = read(end)

    assert made.is_conforming

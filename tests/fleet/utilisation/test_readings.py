from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest

from fleet.house.refusals import Refused
from fleet.models import UtilisationReading
from fleet.utilisation.acts.readings import NewReading, record_readings
from fleet.utilisation.running_totals import RunningTotals
from fleet.words.said import hours_words
from tests import builders as build

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)
HOUR = timedelta(hours=1)
#: Between thousands.
SPACE = hours_words(60_000)[1]


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


@pytest.fixture
def flown():
    """An aircraft that made eight hours a day through February 2027: 9 600 h on the last day."""
    aircraft = build.an_aircraft()
    hours, by = build.the_hours(), build.a_person("controller")

    def add(day, minutes, **more):
        at = datetime(2027, 2, day, 23, 59, tzinfo=UTC)
        row = NewReading(aircraft.pk, hours.pk, at, minutes, uuid4(), **more)
        return record_readings(by=by, rows=[row], now=NOW)

    for day in (1, 15, 27):
        add(day, 576_000 - (27 - day) * 480)
    return add


def test_hours_that_no_day_has_are_questioned_and_not_counted(flown):
    with pytest.raises(Refused) as refused:
        flown(28, 99_999 * 60)

    assert (refused.value.code, refused.value.field) == ("total_questioned", "total")
    assert refused.value.message.replace(SPACE, " ") == (
        "99 999:00 h is 90 399:00 h more than the 9 600:00 h read on 27 Feb 2027. No day has so many hours."
        " It usually makes 8:00 h a day. Check it against the log; if it is right, confirm it."
    )
    assert UtilisationReading.objects.count() == 3


def test_a_questioned_total_that_is_confirmed_is_counted_and_says_so(flown):
    (made,) = flown(28, 99_999 * 60, is_confirmed=True)

    assert (made.is_conforming, made.is_confirmed) == (True, True)


@pytest.mark.parametrize(
    ("minutes", "is_asked"), [(576_000 + 2_880, False), (576_000 + 2_881, True)]
)
def test_more_than_every_hour_of_both_days_is_questioned(flown, minutes, is_asked):
    if not is_asked:
        assert flown(28, minutes)
        return
    with pytest.raises(Refused, match="confirm it"):
        flown(28, minutes)


def test_three_times_the_usual_is_questioned_over_a_longer_time():
    """An aircraft of three hours a day may make nine, and not ten for a hundred days."""
    totals = RunningTotals(
        [(NOW - timedelta(days=130), 0, 1, True), (NOW - timedelta(days=100), 5_400, 2, True)],
        "minutes",
    )

    assert not totals.why_too_much(NOW, 5_400 + 9 * 60 * 100)
    assert totals.why_too_much(NOW, 5_400 + 10 * 60 * 100)


def test_more_cycles_than_hardly_any_day_has_are_questioned_without_a_usual_use():
    totals = RunningTotals([(NOW - timedelta(days=1), 5_000, 1, True)], "count")

    assert not totals.why_too_much(NOW, 5_000 + 16 * 2)
    assert "Hardly any day has so many" in totals.why_too_much(NOW, 5_000 + 16 * 2 + 1)


@pytest.mark.parametrize(
    "zone", ["Pacific/Honolulu", "America/Los_Angeles", "UTC", "Europe/Berlin", "Pacific/Auckland"]
)
def test_the_day_of_a_reading_is_the_day_where_the_aircraft_is_based(zone):
    based = ZoneInfo(zone)
    end = datetime(2027, 2, 27, 23, 59, 59, 999_999, tzinfo=based)
    totals = RunningTotals([(end, 6_000, 1, True)], "minutes", based)

    assert totals.last_said() == "100:00 on 27 Feb 2027"
    assert "read on 27 Feb 2027" in totals.why_backwards(NOW, 5_000)[0]


def test_a_total_that_runs_backwards_says_so_in_hours(flown):
    (made,) = flown(28, 60)

    assert not made.is_conforming
    assert (
        made.reasons[0].replace(SPACE, " ") == "It is less than the 9 600:00 h read on 27 Feb 2027."
    )

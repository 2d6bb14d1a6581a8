from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from fleet.house.moments import has_come, refuse_future, why_future
from fleet.house.refusals import Refused

NOON = datetime(2027, 3, 3, 12, tzinfo=UTC)
TODAY, TOMORROW = date(2027, 3, 3), date(2027, 3, 4)


@pytest.mark.parametrize(
    ("when", "at", "comes"),
    [
        # tomorrow by UTC may be today where it was said
        (TODAY, NOON, True),
        (TOMORROW, NOON, True),
        (date(2027, 3, 5), NOON, False),
        # whichever zone the clock that is asked stands in
        (date(2027, 3, 5), NOON.astimezone(timezone(timedelta(hours=14))), False),
        (
            TOMORROW,
            datetime(2027, 3, 3, 2, tzinfo=UTC).astimezone(timezone(timedelta(hours=-8))),
            True,
        ),
        # of an instant the zone is known
        (NOON, NOON, True),
        (NOON + timedelta(seconds=1), NOON, False),
        (datetime(2027, 3, 3, 23, tzinfo=timezone(timedelta(hours=12))), NOON, True),
    ],
)
def test_a_day_may_have_come_elsewhere_and_a_moment_comes_everywhere_at_once(when, at, comes):
    assert has_come(when, at) is comes


def test_what_has_not_come_is_refused_at_its_field_by_its_day():
    with pytest.raises(Refused) as refused:
        refuse_future(date(2027, 3, 9), NOON, "found_on", "give the day it was found.")

    (why,) = refused.value.refusals
    assert (why.code, why.field) == ("in_the_future", "found_on")
    assert why.message == "9 Mar 2027 has not come yet: give the day it was found."


def test_nothing_is_said_against_no_date():
    assert why_future(None, NOON, "made_on") == []

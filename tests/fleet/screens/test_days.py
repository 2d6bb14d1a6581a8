"""Days and times of 24 hours, typed and shown the same whatever the browser's language."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from django import forms
from django.test import RequestFactory

from fleet.screens.days import day_asked
from fleet.screens.fields import Day, Moment, clock_time

asked = RequestFactory().get
ONE_DAY = date(2026, 11, 30)


@pytest.mark.parametrize(
    "typed",
    ["30 Nov 2026", "2026-11-30", "30.11.2026", "11/30/2026", "30 november 26", "Mon 30 Nov 2026"],
)
def test_a_day_with_one_reading_is_taken(typed):
    assert Day().clean(typed) == ONE_DAY


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("03.04.2027", "can be read as 3 Apr 2027 or as 4 Mar 2027. Write it as 3 Mar 2027."),
        ("30.11.26", "can be read as 30 Nov 2026 or as 26 Nov 2030. Write it as 3 Mar 2027."),
        ("31 Jun 2027", "is a day that does not exist. Write it as 3 Mar 2027."),
        ("soon", "“soon” is not a date. Write it as 3 Mar 2027."),
        ("Nov 2026", "is not one day. Write it as 3 Mar 2027."),
        ("3 Mar 1890", "is too far off"),
    ],
)
def test_what_is_not_one_day_is_asked_about(typed, said):
    with pytest.raises(forms.ValidationError) as refused:
        Day().clean(typed)

    assert said in refused.value.messages[0]


def test_nothing_typed_where_nothing_is_needed():
    assert Day(required=False).clean("  ") is None
    with pytest.raises(forms.ValidationError, match=r"Give the day\."):
        Day().clean("  ")


def shown(field: forms.Field, value: object) -> str:
    form = forms.Form(initial={"at": value})
    form.fields["at"] = field
    return str(form["at"])


def test_a_day_is_shown_in_words_in_a_field_of_text():
    assert 'type="text"' in shown(Day(), ONE_DAY)
    assert 'value="30 Nov 2026"' in shown(Day(), ONE_DAY)


def test_a_moment_is_of_24_hours_and_in_utc():
    at = datetime(2026, 11, 30, 20, 34, tzinfo=UTC)

    assert 'value="30 Nov 2026 20:34"' in shown(Moment(), at)
    for typed in ("30 Nov 2026 20:34", "2026-11-30T20:34", "2026-11-30 20:34:00Z"):
        assert Moment().clean(typed) == at


@pytest.mark.parametrize("typed", ["30 Nov 2026", "30 Nov 2026 25:00", "03.04.2027 10:00"])
def test_a_moment_without_one_reading_is_asked_about(typed):
    with pytest.raises(forms.ValidationError, match="Write it as 3 Mar 2027 14:05"):
        Moment().clean(typed)


def test_a_time_is_a_text_of_24_hours():
    assert clock_time("Time").clean("20:34").hour == 20
    with pytest.raises(forms.ValidationError, match="from 00:00 to 23:59"):
        clock_time("Time").clean("8:34 PM")
    assert 'type="text"' in shown(clock_time("Time"), None)


def test_a_day_in_the_query_is_read():
    assert day_asked(asked("/", {"at": "2027-03-03"}), "at") == (date(2027, 3, 3), "")
    assert day_asked(asked("/", {"at": "3 Mar 2027"}), "at") == (date(2027, 3, 3), "")
    assert day_asked(asked("/"), "at") == (None, "")


def test_a_day_in_the_query_that_may_be_two_is_asked_about():
    day, fault = day_asked(asked("/", {"at": "3/4/27"}), "at")

    assert day is None
    assert "can be read as" in fault


def test_no_form_asks_the_browser_for_a_date_in_its_own_language(pytestconfig):
    templates = pytestconfig.rootpath / "templates"
    native = ('type="date"', 'type="time"', 'type="datetime-local"')

    assert not [
        path for path in templates.rglob("*.html") for sort in native if sort in path.read_text()
    ]

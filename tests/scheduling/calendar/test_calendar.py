"""Checks and due dates in a calendar: written by hand, read back by another library; a secret that can be withdrawn."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import icalendar
import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from fleet.config.serving.requests import told_path
from fleet.house.refusals import Refused
from fleet.models import Check
from scheduling.calendar.acts.addresses import (
    NewAddress,
    Withdrawn,
    make_calendar_address,
    withdraw_calendar_address,
)
from scheduling.calendar.writing import Event, calendar_of, folded
from scheduling.models import CalendarAddress
from tests import builders as build
from tests.equipment.line_world import signed_in
from tests.scheduling.planning.world import (
    a_check,
    an_aircraft,
    due_in,
    in_days,
    overhauls,
    reckoned,
)

AT = datetime(2027, 3, 1, 10, tzinfo=UTC)
ODD = "Zoë; said, \\ “twice”\nand again"
TEXT = st.text(st.characters(blacklist_categories=["Cs", "Cc"]), max_size=200)


def read(text: str) -> list[icalendar.Event]:
    return list(icalendar.Calendar.from_ical(text).walk("VEVENT"))


def test_an_event_is_read_back_as_it_was_said():
    event = Event(
        "check-1@greenband",
        date(2027, 3, 3),
        date(2027, 3, 5),
        ODD,
        ODD,
        "QTLH",
        "https://h.invalid/x",
    )

    [found] = read(calendar_of("Fleet", [event], AT))

    assert str(found["SUMMARY"]) == ODD and str(found["DESCRIPTION"]) == ODD
    assert found["DTSTART"].dt == date(2027, 3, 3)
    assert found["DTEND"].dt == date(2027, 3, 6)  # the format's end is the day after
    assert str(found["UID"]) == "check-1@greenband" and found["DTSTAMP"].dt == AT


@given(TEXT, TEXT)
def test_whatever_is_said_is_folded_and_unfolded_to_the_letter(summary, description):
    event = Event("u@greenband", date(2027, 3, 3), date(2027, 3, 3), summary, description)

    written = calendar_of("Fleet", [event], AT)

    assert all(len(line.encode()) <= 75 for line in written.split("\r\n"))
    [found] = read(written)
    assert str(found.get("SUMMARY", "")) == summary
    assert str(found.get("DESCRIPTION", "")) == description


def test_a_line_is_never_folded_within_a_letter():
    pieces = list(folded("SUMMARY:" + "ü" * 100))

    assert [len(piece.encode()) <= 75 for piece in pieces] == [True] * len(pieces)
    assert pieces[0] + "".join(piece[1:] for piece in pieces[1:]) == "SUMMARY:" + "ü" * 100


@pytest.fixture
def fleet(db):
    overhauls()
    craft = an_aircraft()
    due_in(craft, "D1L-SLIDE", 60)
    due_in(craft, "D1R-SLIDE", 60)
    other = an_aircraft()
    due_in(other, "D1L-SLIDE", 90)
    a_check(craft, 50, "A1")
    a_check(other, 80, "A2")
    reckoned()
    return craft, other


def made(by, **more):
    new = NewAddress(**{"label": "My phone"} | more)
    return make_calendar_address(by=by, new=new, act_id=uuid4(), at=timezone.now())


def feed(secret: str):
    return Client().get(reverse("scheduling:calendar_feed", args=[secret]))


def test_the_feed_has_each_check_and_due_date_without_signing_in(fleet):
    craft, _other = fleet
    answer = feed(made(build.a_person("controller")).secret)

    events = {str(each["UID"]): each for each in read(answer.content.decode())}

    first = Check.objects.get(aircraft=craft)
    assert answer["Content-Type"].startswith("text/calendar")
    assert events[f"check-{first.pk}@greenband"]["DTSTART"].dt == first.starts_on
    due = events[f"due-{craft.pk}-{in_days(60):%Y%m%d}@greenband"]
    assert str(due["SUMMARY"]) == f"{craft.registration}: last day of 2 works"
    assert len(events) == 4


def test_of_one_aircraft_only_its_own_and_a_cancelled_check_says_so(fleet):
    craft, _other = fleet
    Check.objects.filter(aircraft=craft).update(is_cancelled=True)
    secret = made(build.a_person("controller"), aircraft_id=craft.pk).secret

    events = read(feed(secret).content.decode())

    assert len(events) == 2 and {
        str(each["SUMMARY"])[: len(craft.registration)] for each in events
    } == {craft.registration}
    assert [str(each["STATUS"]) for each in events if "check" in str(each["UID"])] == ["CANCELLED"]


def test_a_withdrawn_address_an_unknown_one_and_that_of_who_left_say_nothing(fleet, as_owner):
    person = build.a_person("controller")
    one, two = made(person), made(person, label="Another")
    said = Withdrawn(one.address.pk)
    withdraw_calendar_address(by=person, withdrawn=said, act_id=uuid4(), at=timezone.now())

    assert [feed(each).status_code for each in (one.secret, "x" * 43, two.secret)] == [
        404,
        404,
        200,
    ]
    with as_owner():
        type(person).objects.filter(pk=person.pk).update(is_active=False)
    assert feed(two.secret).status_code == 404


def test_the_secret_is_not_kept_and_nobody_withdraws_anothers(fleet):
    mine, other = build.a_person("controller"), build.a_person("controller")
    one = made(mine)

    assert one.secret not in str(CalendarAddress.objects.values().get())
    with pytest.raises(Refused) as told:
        withdraw_calendar_address(
            by=other, withdrawn=Withdrawn(one.address.pk), act_id=uuid4(), at=timezone.now()
        )
    assert told.value.code == "unknown_address"


def test_it_is_made_and_withdrawn_on_pages_and_shown_once(fleet):
    person = build.a_person("technician")
    desk = signed_in(person)
    sent = {"act_id": str(uuid4()), "label": "My phone", "aircraft": ""}

    answer = desk.post(reverse("scheduling:calendar_new"), sent, follow=True).content.decode()

    [secret] = re.findall(r"/calendars/feed/([\w-]{30,})/greenband\.ics", answer)
    assert feed(secret).status_code == 200
    assert secret not in told_path(reverse("scheduling:calendar_feed", args=[secret]))
    assert secret not in desk.get(reverse("scheduling:calendars")).content.decode()
    row = CalendarAddress.objects.get()
    desk.post(reverse("scheduling:calendar_withdraw", args=[row.pk]), {"act_id": str(uuid4())})
    assert feed(secret).status_code == 404


def test_a_feed_costs_the_same_however_many_checks_there_are(fleet):
    craft, _ = fleet
    secret = made(build.a_person("controller")).secret
    with CaptureQueriesContext(connection) as few:
        feed(secret)
    for number in range(20):
        a_check(craft, 100 + 5 * number, f"B{number}")

    with CaptureQueriesContext(connection) as many:
        feed(secret)

    assert len(many) == len(few) <= 6


def test_what_is_long_past_is_left_out(fleet):
    craft, _ = fleet
    a_check(craft, -200, "OLD")
    events = read(feed(made(build.a_person("controller")).secret).content.decode())

    assert min(each["DTSTART"].dt for each in events) > in_days(0) - timedelta(days=61)

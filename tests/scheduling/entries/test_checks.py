"""Checks planned, moved and cancelled on pages; a moved check is the same check."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from fleet.house.pages import today
from fleet.models import Check
from tests import builders as build
from tests.scheduling.rules import a_rule, done, every, follows

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client):
    client.force_login(build.a_person("controller"), "django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def aircraft():
    """One with a slide that is due in about a hundred days."""
    made = follows(build.an_aircraft("D1L-SLIDE"))
    unit = build.a_unit(serial_number="S1")
    build.installed(unit, build.at_position(made), "2020-01-05")
    a_rule("SL-OH", every(12), work="OVERHAUL")
    done("OVERHAUL", (today() - timedelta(days=265)).isoformat(), unit_id=unit.pk)
    return made


def a_check(aircraft, days: int, name: str = "A1") -> Check:
    return Check.objects.create(
        aircraft=aircraft,
        name=name,
        starts_on=today() + timedelta(days=days),
        ends_on=today() + timedelta(days=days + 2),
        station=aircraft.station,
    )


def said_of(check: Check, days: int, **more):
    return {
        "name": check.name,
        "starts_on": (today() + timedelta(days=days)).isoformat(),
        "ends_on": (today() + timedelta(days=days + 2)).isoformat(),
        "station": check.station_id,
        **more,
    }


def saved(desk, address, said):
    shown = desk.post(address, said).content.decode()
    mark = re.search(r'name="shown" value="([0-9a-f]+)"', shown)
    assert mark, shown[shown.find("<main") :]
    return shown, desk.post(address, said | {"shown": mark[1], "save": "1"})


def test_a_check_is_planned_and_the_band_that_follows_is_shown_first(desk, aircraft):
    a_check(aircraft, 200, "A2")
    address = reverse("scheduling:check_plan", args=[aircraft.registration])
    said = {
        "name": "A1",
        "sort": "check",
        "starts_on": (today() + timedelta(days=60)).isoformat(),
        "ends_on": (today() + timedelta(days=62)).isoformat(),
        "station": aircraft.station_id,
    }

    shown, answer = saved(desk, address, said)

    assert "before next check" in shown and "at next check" in shown and "1 moves" in shown
    assert answer.status_code == 302
    assert set(Check.objects.values_list("name", flat=True)) == {"A1", "A2"}


def test_a_check_that_is_moved_stays_the_same_check(desk, aircraft):
    check = a_check(aircraft, 60)
    address = reverse("scheduling:check_change", args=[check.pk])

    shown, answer = saved(desk, address, said_of(check, 150))

    assert "before next check" in shown
    assert answer.status_code == 302
    moved = Check.objects.get()
    assert (moved.pk, moved.starts_on) == (check.pk, today() + timedelta(days=150))


def test_a_check_is_cancelled_and_stays_on_record(desk, aircraft):
    check = a_check(aircraft, 60)

    saved(
        desk,
        reverse("scheduling:check_change", args=[check.pk]),
        said_of(check, 60, is_cancelled="on"),
    )

    check.refresh_from_db()
    assert check.is_cancelled
    assert "cancelled" in desk.get(reverse("scheduling:checks")).content.decode()


def test_a_check_may_be_moved_over_its_own_days_but_not_over_anothers(desk, aircraft):
    check, other = a_check(aircraft, 60), a_check(aircraft, 100, "A2")
    address = reverse("scheduling:check_change", args=[check.pk])

    refused = desk.post(address, said_of(check, 101))
    saved(desk, address, said_of(check, 61))

    assert refused.status_code == 422
    assert f"overlaps {other.name}" in refused.content.decode()
    check.refresh_from_db()
    assert check.starts_on == today() + timedelta(days=61)


def test_a_check_is_not_renamed_into_another(desk, aircraft):
    check, other = a_check(aircraft, 60), a_check(aircraft, 100, "A2")
    other.is_cancelled = True
    other.save()

    answer = desk.post(
        reverse("scheduling:check_change", args=[check.pk]), said_of(check, 100, name="A2")
    )

    assert answer.status_code == 422
    assert "Another A2 begins on" in answer.content.decode()


def test_aircraft_without_a_check_are_named_and_an_empty_list_leads_on(desk, aircraft):
    page = desk.get(reverse("scheduling:checks")).content.decode()

    assert "No check is planned of" in page and aircraft.registration in page
    assert reverse("scheduling:setting_up") in page

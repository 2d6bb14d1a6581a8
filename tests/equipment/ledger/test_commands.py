from __future__ import annotations

import csv
import io
import json

import pytest
from django.core.management import CommandError, call_command

from equipment.models import FittedPeriod, Stay, Unit
from tests import builders as build

pytestmark = pytest.mark.django_db


@pytest.fixture
def aircraft():
    aircraft = build.an_aircraft("D1L-SLIDE", station=build.a_station(zone="Pacific/Auckland"))
    slide = build.a_unit(build.a_part("HS-1", "LIGHT"), serial_number="A1")
    light = build.a_unit(build.a_part("LT-1"), serial_number="=L1")
    build.installed(slide, build.at_position(aircraft), "2027-03-03 12:30")
    build.installed(light, build.inside(slide), "2027-03-05")
    return aircraft


def run(*words):
    out = io.StringIO()
    call_command(*words, stdout=out)
    return out.getvalue()


def fitted(aircraft, *words):
    return run("fitted", "--aircraft", aircraft.registration.lower(), *words)


def test_the_table_shows_what_is_inside_under_what_it_is_in(aircraft):
    table = fitted(aircraft, "--at", "2027-03-06").splitlines()

    assert table[1].split() == ["D1L-SLIDE", "HS-1", "A1", "1", "3", "Mar", "2027"]
    assert table[2].split()[:3] == ["D1L-SLIDE", "LIGHT", "LT-1"]


def test_json_is_one_object_a_line(aircraft):
    rows = [
        json.loads(line)
        for line in fitted(aircraft, "--at", "2027-03-06", "--format", "json").splitlines()
    ]

    assert [(row["serial_number"], row["depth"], row["precision"]) for row in rows] == [
        ("A1", 0, "instant"),
        ("=L1", 1, "day"),
    ]


def test_csv_gives_a_spreadsheet_no_formula(aircraft):
    rows = list(
        csv.DictReader(io.StringIO(fitted(aircraft, "--at", "2027-03-06", "--format", "csv")))
    )

    assert [row["serial_number"] for row in rows] == ["A1", "'=L1"]


@pytest.mark.parametrize(
    ("at", "is_fitted"),
    [
        ("2027-03-03", False),  # ends in Auckland at 11:00 UTC
        ("2027-03-04", True),
        ("2027-03-04T01:29", False),
        ("2027-03-04T01:30", True),
        ("2027-03-03T12:30+00:00", True),
    ],
)
def test_a_date_ends_and_a_time_is_where_the_aircrafts_station_is(aircraft, at, is_fitted):
    assert ("A1" in fitted(aircraft, "--at", at)) is is_fitted


def test_before_it_was_recorded_nothing_was_known(aircraft):
    assert "Nothing was fitted" in fitted(
        aircraft, "--at", "2027-03-06", "--known-at", "2027-03-07"
    )


@pytest.mark.parametrize(
    "words", [["--at", "3/4/27"], ["--at", "2027-13-01"], ["--at", "2027-03-06", "--known-at", "x"]]
)
def test_what_is_not_a_date_is_said_in_a_sentence(aircraft, words):
    with pytest.raises(CommandError, match="is not a date or a time"):
        fitted(aircraft, *words)


def test_an_unknown_registration_is_said_in_a_sentence():
    with pytest.raises(CommandError, match="No aircraft has the registration Q-NONE"):
        run("fitted", "--aircraft", "Q-NONE", "--at", "2027-03-06")


def test_what_is_kept_agrees_with_the_ledger(aircraft):
    assert run("check_whereabouts") == "Everything agrees.\n"


@pytest.mark.parametrize("falsified", ["stay", "no stay", "period", "unit"])
def test_whatever_is_falsified_is_listed_and_set_right(aircraft, falsified):
    slide = Unit.objects.get(serial_number="A1")
    if falsified == "stay":
        stay = Stay.objects.get(unit=slide)
        Stay.objects.filter(pk=stay.pk).update(known=(build.instant("2027-01-01"), None))
    elif falsified == "no stay":
        Stay.objects.filter(unit=slide).delete()
    elif falsified == "period":
        FittedPeriod.objects.filter(unit=slide).update(depth=3)
    else:
        Unit.objects.filter(pk=slide.pk).update(place=None, aircraft=None)

    with pytest.raises(SystemExit) as found:
        run("check_whereabouts")
    with pytest.raises(SystemExit):
        run("check_whereabouts", "--repair")

    assert found.value.code == 1
    assert run("check_whereabouts") == "Everything agrees.\n"

"""What a controller enters of one unit on pages: shown first where it moves dates, then saved."""

from __future__ import annotations

import re

import pytest
from django.db import DatabaseError, transaction
from django.urls import reverse

from equipment.models import LifeStatement, UnitCorrection
from fleet.house.pages import today
from scheduling.models import Disposition, Extension, WorkDone
from tests import builders as build
from tests.scheduling.rules import a_directive, a_rule, every, follows, once, the_programme

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client):
    client.force_login(build.a_person("controller"), "django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def slide():
    """A slide in service, made in 2015, overhauled every 36 months from manufacture on."""
    aircraft = follows(build.an_aircraft("D1L-SLIDE"))
    unit = build.a_unit(serial_number="4106", manufactured_on=build.day("2015-03-02"))
    build.installed(unit, build.at_position(aircraft), "2020-01-05")
    a_rule(
        "SL-OH",
        every(36, first_from="manufacture"),
        work="OVERHAUL",
        is_extendable=True,
        extension_days_most=90,
    )
    return unit


def saved(desk, address, said):
    """The page's answer to the second button, after the first showed what the act changes."""
    shown = desk.post(address, said).content.decode()
    mark = re.search(r'name="shown" value="([0-9a-f]+)"', shown)
    assert mark, shown[shown.find("<main") :]
    return shown, desk.post(address, said | {"shown": mark[1], "save": "1"})


def test_the_page_of_a_unit_leads_to_its_entries(desk, slide):
    page = desk.get(reverse("equipment:unit", args=[slide.pk])).content.decode()

    assert reverse("scheduling:unit_work", args=[slide.pk]) in page
    assert reverse("scheduling:unit_correct", args=[slide.pk]) in page


def test_a_work_done_shows_the_date_that_it_moves(desk, slide):
    address = reverse("scheduling:unit_work", args=[slide.pk])
    said = {
        "work": "OVERHAUL",
        "done_on": f"{today():%Y-%m}",
        "who": "Harbour Slides",
        "authorisation": "Q-145-007",
        "document": "WO 7",
        "result": "passed",
    }

    shown, answer = saved(desk, address, said)

    assert "1 moves" in shown and "overdue" in shown
    assert answer.status_code == 302
    assert WorkDone.objects.get().who == "Harbour Slides"


def test_an_extension_of_nothing_is_refused_and_one_of_days_is_kept(desk, slide):
    address = reverse("scheduling:unit_extension", args=[slide.pk])
    said = {
        "programme": the_programme().code,
        "limit": "SL-OH",
        "number": "EXT-1",
        "granted_on": today().isoformat(),
        "document": "MP 1.6",
        "approved_by": "C. Marsh",
    }

    refused = desk.post(address, said)
    saved(desk, address, said | {"days": "30"})

    assert refused.status_code == 422
    assert "give days, hours or cycles above nought" in refused.content.decode()
    assert Extension.objects.get().days == 30


def test_a_life_statement_is_typed_in_hours(desk, slide):
    hours = build.the_hours()
    address = reverse("scheduling:unit_life", args=[slide.pk])
    said = {
        "measure": hours.code,
        "stated_on": "2020-01-05",
        "total": "1234:30",
        "source": "Certificate 7",
        "quality": "certificate",
    }

    _, answer = saved(desk, address, said)

    assert answer.status_code == 302
    assert LifeStatement.objects.get().total == 1234 * 60 + 30


def test_a_disposition_is_decided_from_the_directive(desk, slide):
    directive = a_directive("AD-1", once("days", 90, "2026-10-01"))
    address = reverse("scheduling:disposition", args=[directive.pk, slide.pk])
    said = {"sort": "not_applicable", "on": today().isoformat(), "reason": "Not of that batch."}

    _, answer = saved(desk, address, said)

    assert answer.status_code == 302
    assert Disposition.objects.get().sort == "not_applicable"


def test_a_serial_number_and_a_date_are_corrected_and_what_was_said_before_is_kept(desk, slide):
    address = reverse("scheduling:unit_correct", args=[slide.pk])
    said = {
        "serial_number": "04106",
        "manufactured_on": "2016-03",
        "reason": "The sheet had lost the nought.",
    }

    shown, _ = saved(desk, address, said)
    slide.refresh_from_db()
    page = desk.get(reverse("equipment:unit", args=[slide.pk])).content.decode()

    assert "1 moves" in shown and "later" in shown
    assert (slide.serial_number, slide.manufactured_precision) == ("04106", "month")
    assert UnitCorrection.objects.get().before["serial_number"] == "4106"
    assert "serial number corrected from 4106 to 04106" in page


def test_a_correction_into_another_unit_is_refused(desk, slide):
    build.a_unit(slide.original_part, serial_number="04106")
    address = reverse("scheduling:unit_correct", args=[slide.pk])

    answer = desk.post(address, {"serial_number": "04106", "reason": "Plate."})

    assert answer.status_code == 422
    assert "record a merge instead" in answer.content.decode()


def test_a_correction_on_record_is_never_changed(desk, slide):
    address = reverse("scheduling:unit_correct", args=[slide.pk])
    saved(desk, address, {"serial_number": "04106", "reason": "Plate."})

    with pytest.raises(DatabaseError), transaction.atomic():
        UnitCorrection.objects.update(reason="None.")

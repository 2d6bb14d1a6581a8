"""One field finds an aircraft, a unit, a position or a person, however it is spelt, and says what is next."""

from __future__ import annotations

import pytest
from django.urls import reverse

from tests import builders as build
from tests.equipment.line_world import crew, signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def people():
    return crew()


@pytest.fixture
def craft():
    return build.an_aircraft()


def find(user, text):
    return signed_in(user).get(reverse("scheduling:find"), {"q": text})


@pytest.mark.parametrize("spelt", ["{}", " {} ", "bare", "lower"])
def test_a_registration_in_any_spelling_leads_to_its_aircraft(people, craft, spelt):
    text = {
        "bare": craft.registration.replace("-", ""),
        "lower": craft.registration.lower(),
    }.get(spelt, spelt.format(craft.registration))

    answer = find(people["technician"], text)

    assert answer["Location"] == reverse("fleet:aircraft", args=[craft.registration])


def test_a_unit_is_found_by_part_and_serial_number(people):
    unit = build.a_unit(build.a_part(), serial_number="Z-77041")

    answer = find(people["controller"], f"{unit.part_number.number} Z-77041")

    assert answer["Location"] == reverse("equipment:unit", args=[unit.pk])


def test_what_is_only_alike_is_shown_and_never_gone_to(people):
    build.a_unit(build.a_part(), serial_number="04106")

    page = find(people["controller"], "4106 ").content.decode()
    near = find(people["controller"], "0004106")

    assert near.status_code == 200
    assert "These are alike but for noughts" in near.content.decode()
    assert "04106" in page or page == ""


def test_people_are_found_by_who_may_manage_them_only(people):
    of_technician = find(people["technician"], "inspector")
    of_administrator = find(people["administrator"], "inspector")

    assert "Nothing on record" in of_technician.content.decode()
    assert of_administrator["Location"].startswith("/people/")


@pytest.mark.parametrize(
    "junk",
    ["", " ", "\x00", "%", "a" * 5000, "\u200f\u05e9\u05dc\u05d5\u05dd", "'; drop", "(((", "\\"],
)
def test_junk_finds_nothing_and_breaks_nothing(people, junk):
    answer = find(people["controller"], junk)

    assert answer.status_code == 200

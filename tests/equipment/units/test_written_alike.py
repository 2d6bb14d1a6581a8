"""A number is found however it is written: with or without noughts in front, spaces, hyphens."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from equipment.units.reads import Asked, alike, found
from tests import builders as build


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("04106", "4106"),
        ("4106", "04106"),
        ("KB301", "KB 301"),
        ("KB 301", "KB301"),
        ("PO120", "PO-120"),
        ("PO-120", "PO120"),
        ("po 0120", "PO120"),
        ("HS-4410-3", "HS44103"),
    ],
)
def test_these_are_written_alike(typed, written):
    words = [typed] if typed != "KB 301" else typed.split()

    assert all(re.search(alike(word), written) for word in words)


@pytest.mark.parametrize(("typed", "written"), [("04106", "14106"), ("KB301", "KB310"), ("1", "2")])
def test_these_are_not(typed, written):
    assert not re.search(alike(typed), written)


@pytest.mark.django_db
def test_a_search_says_that_it_found_what_is_written_otherwise(client):
    client.force_login(build.a_person("technician"), "django.contrib.auth.backends.ModelBackend")
    build.a_unit(serial_number="4106")

    page = client.get(reverse("equipment:unit_list"), {"text": "04106"}).content.decode()

    assert "4106" in page and "Nothing on record is written “04106”" in page
    assert not found(Asked(text="4106")).is_near


@pytest.mark.django_db
def test_a_part_number_is_found_so_too_and_what_is_nowhere_is_not(client):
    unit = build.a_unit(build.a_part(number="PO-120"), serial_number="A1")

    assert [one.id for one in found(Asked(text="PO120")).units] == [unit.pk]
    assert found(Asked(text="PO121")).units == []
    assert found(Asked(text="---")).units == []

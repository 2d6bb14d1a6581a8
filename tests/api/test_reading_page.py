"""What programs may ask is read in the house's own face, under its policy, in light and dark."""

from __future__ import annotations

import pytest
from django.urls import reverse
from drf_spectacular.generators import SchemaGenerator
from playwright.sync_api import Page

from fleet.doors.reading import METHODS, doors_by_group
from tests.axe import faults_by_axe


def test_every_door_of_the_schema_is_on_the_page_once():
    schema = SchemaGenerator().get_schema(request=None, public=True)
    wanted = sorted(
        (method.upper(), address)
        for address, at in schema["paths"].items()
        for method in METHODS
        if method in at
    )

    doors = [door for doors in doors_by_group().values() for door in doors]

    assert len(wanted) > 50
    assert sorted((door.method, door.address) for door in doors) == wanted
    assert len({door.key for door in doors}) == len(doors)


@pytest.mark.django_db
def test_a_group_shows_what_is_sent_with_an_example_and_what_is_answered(client):
    index = client.get(reverse("api-docs")).content.decode()
    group, door = next(
        (group, door) for group, doors in doors_by_group().items() for door in doors if door.example
    )

    page = client.get(reverse("api-docs"), {"of": group}).content.decode()

    assert door.address in index and door.address in page
    assert f'id="{door.key}"' in page
    for said in door.sent:
        assert f"<code>{said.name}</code>" in page


@pytest.mark.django_db
def test_a_group_that_is_none_shows_all_of_them(client):
    page = client.get(reverse("api-docs"), {"of": "<script>"}).content.decode()

    assert "<script>" not in page[page.index("<main") : page.index("</main")]
    assert page.count('class="door-list"') == len(doors_by_group())


@pytest.mark.browser
def test_it_is_read_in_the_dark_and_within_its_width(page: Page) -> None:
    faults: list[str] = []
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    page.emulate_media(color_scheme="dark")
    page.set_viewport_size({"width": 390, "height": 844})
    group = next(iter(doors_by_group()))

    for address in ("/api/", f"/api/?of={group}"):
        page.goto(address)
        report = faults_by_axe(page)
        assert not report, report
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert not faults

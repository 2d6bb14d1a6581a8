"""Days that are typing mistakes, and text that no database takes: a sentence at every door, never a fault."""

from __future__ import annotations

import pytest
from django.core.management import CommandError, call_command
from django.test import Client

from fleet.house.desks import CONTROLLER
from fleet.models import User

pytestmark = pytest.mark.django_db
FAR = ("9999-12-31", "0001-01-01", "1949-12-31", "2151-01-01")


@pytest.fixture
def controller(client: Client) -> Client:
    client.force_login(User.objects.create_user("kim", roles=[CONTROLLER]))
    return client


@pytest.mark.parametrize("day", FAR)
@pytest.mark.parametrize("page", ["/due/?as_of={}", "/due/?until_on={}"])
def test_a_page_says_which_days_it_takes(controller: Client, page: str, day: str) -> None:
    answer = controller.get(page.format(day))

    assert answer.status_code in {200, 422}
    assert "1 Jan 1950 to 31 Dec 2150" in answer.content.decode()


@pytest.mark.parametrize("day", [*FAR, "garbage"])
def test_an_export_says_which_days_it_takes(controller: Client, day: str) -> None:
    answer = controller.get(f"/due/export/csv/?as_of={day}")

    assert answer.status_code == 400
    assert "date" in answer.content.decode() or "too far off" in answer.content.decode()


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01"])
def test_the_command_says_which_days_it_takes(day: str) -> None:
    with pytest.raises(CommandError, match="too far off"):
        call_command("due", "--as-of", day)


@pytest.mark.parametrize("day", ["1950-01-01", "2150-12-31"])
def test_the_furthest_days_are_shown(controller: Client, day: str) -> None:
    assert controller.get(f"/due/?as_of={day}").status_code == 200


def test_a_registration_that_no_database_takes_is_no_aircraft(controller: Client) -> None:
    assert controller.get("/aircraft/%00/").status_code == 404
    assert controller.get("/api/v1/aircraft/%00/").status_code in {400, 404}

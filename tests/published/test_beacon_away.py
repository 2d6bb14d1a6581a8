"""A beacon may be away for ninety days from a day that is typed (published-facts CM-07: 14 CFR 91.207(f)(10)(ii))."""

from __future__ import annotations

import re

import pytest
import time_machine
from django.urls import reverse

from fleet.aircraft.ports import groundings_of
from scheduling.models import Limit
from tests import builders as build
from tests.scheduling import rules

pytestmark = pytest.mark.django_db
TYPED = {
    "limit": "ELT-AWAY",
    "revision": "1",
    "title": "Beacon away",
    "subject": "aircraft",
    "work": "REFIT",
    "document": "14 CFR 91.207(f)(10)(ii)",
    "document_revision": "2025",
    "when": "first",
    "reason": "Beacon removed for repair.",
    "clock1-measure": "days",
    "clock1-amount": "90",
    "clock1-counts_from": "given_date",
    "clock1-given_on": "2025-01-10",
}


@pytest.fixture
def aircraft(client):
    """With the limit entered on its page on the day of the removal, shown first, then saved."""
    aircraft = rules.follows(build.an_aircraft())
    rules.the_work("REFIT")
    with time_machine.travel(build.instant("2025-01-10 12:00"), tick=False):
        client.force_login(build.a_person("controller"))
        said = {**TYPED, "programme": rules.the_programme().code}
        address = reverse("scheduling:limit_new")
        shown = client.post(address, said).content.decode()
        mark = re.search(r'name="shown" value="([0-9a-f]+)"', shown)
        assert mark, shown
        assert client.post(address, said | {"shown": mark[1], "save": "1"}).status_code == 302
    return aircraft


@pytest.mark.parametrize(
    ("day", "band", "grounds"), [("2025-04-10", None, False), ("2025-04-11", "overdue", True)]
)
def test_cm_07_it_may_fly_through_the_ninetieth_day_and_not_the_day_after(
    aircraft, client, day, band, grounds
):
    with time_machine.travel(build.instant(f"{day} 12:00"), tick=False):
        client.force_login(build.a_person("controller"))
        (row,) = client.get(f"/api/v1/due-items?as_of={day}").json()["results"]
        page = client.get(reverse("fleet:aircraft", args=[aircraft.registration]))
        listed = client.get(reverse("scheduling:due_list"), {"as_of": day}).content.decode()

    assert Limit.objects.get().code == "ELT-AWAY"
    assert (row["due_on"], row["limit"], row["grounds_aircraft"]) == (
        "2025-04-10",
        "ELT-AWAY",
        grounds,
    )
    assert (row["band"] == "overdue") is (band == "overdue")
    assert ("Not releasable" in page.content.decode()) is grounds
    assert "10 Apr 2025" in listed
    assert bool(groundings_of([aircraft.pk], build.day(day))) is grounds

"""Where each person's day begins says what is so, and leads where the work is."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from equipment.swaps.acts import NewSwap, open_swap
from fleet.models import Check
from scheduling.days.fleet_ahead import fleet_ahead
from tests import builders as build
from tests.equipment.line_world import POSITION, a_line, crew, signed_in
from tests.scheduling import rules

pytestmark = pytest.mark.django_db


@pytest.fixture
def people():
    return crew()


def begins(user) -> str:
    return signed_in(user).get("/")["Location"]


def test_each_person_lands_on_their_own_page(people):
    build.an_aircraft()

    assert {role: begins(user) for role, user in people.items()} == {
        "controller": reverse("scheduling:today"),
        "stores": reverse("equipment:stores"),
        "technician": reverse("scheduling:my_work"),
        "inspector": reverse("scheduling:my_work"),
        "certifying": reverse("scheduling:my_work"),
        "auditor": reverse("scheduling:due_list"),
        "administrator": reverse("scheduling:setting_up"),
    }


def test_an_empty_house_begins_with_what_comes_next_for_who_may_bring_it(people):
    assert begins(people["controller"]) == reverse("scheduling:setting_up")
    assert begins(people["technician"]) == reverse("scheduling:my_work")


def test_an_address_of_the_due_list_as_it_was_leads_there_still(people):
    answer = signed_in(people["controller"]).get("/?band=overdue&station=NRV")

    assert answer["Location"] == reverse("scheduling:due_list") + "?band=overdue&station=NRV"


@pytest.mark.parametrize("role", ["controller", "stores", "technician", "auditor"])
def test_every_first_page_answers_and_marks_where_one_is(people, role):
    build.an_aircraft()
    page = signed_in(people[role]).get("/", follow=True)

    assert page.status_code == 200
    assert page.content.decode().count('aria-current="page"') >= 1


@pytest.fixture
def swap(people):
    """Open at the overwing slide, begun by the technician."""
    line = a_line()
    new = NewSwap(
        place=build.at_position(line.aircraft, POSITION),
        station_id=line.station.pk,
        reason="Overhaul is due",
        planned_on_id=line.new.pk,
    )
    return open_swap(by=people["technician"], new=new, act_id=uuid4(), at=timezone.now())


def test_the_controllers_day_says_what_grounds_and_that_units_were_never_matched(people, swap):
    page = signed_in(people["controller"]).get(reverse("scheduling:today")).content.decode()

    assert "What stops a departure: 1" in page
    assert "A swap is open at" in page
    assert "Units were never matched to needs" in page


def test_a_technician_goes_on_where_they_were(people, swap):
    mine, other = (
        signed_in(people[role]).get(reverse("scheduling:my_work")).content.decode()
        for role in ("technician", "inspector")
    )

    assert f'href="{reverse("equipment:swap_step", args=[swap.pk, 1])}"' in mine
    assert "Yours: 1" in mine
    assert "Yours: 0" in other
    assert "others&#x27;: 1" in other or "others': 1" in other


DAY = date(2027, 6, 1)


def test_the_fleets_days_count_what_falls_due_and_what_no_check_meets():
    craft = rules.follows(build.an_aircraft("D1L-SLIDE", "D1R-SLIDE"))
    part = build.a_part()
    for code, made in (("D1L-SLIDE", "2024-06-20"), ("D1R-SLIDE", "2024-07-10")):
        build.installed(
            build.a_unit(part, manufactured_on=build.day(made)),
            build.at_position(craft, code),
            "2025-01-01",
        )
    rules.a_rule("OVH", rules.every(36, first_from="manufacture"), parts=[part])
    check = Check.objects.create(
        aircraft=craft,
        name="A1",
        starts_on=date(2027, 6, 25),
        ends_on=date(2027, 6, 26),
        station=craft.station,
    )
    with time_machine.travel(build.instant("2027-06-01 12:00"), tick=False):
        rules.reckon()
        [row] = fleet_ahead(DAY)

    assert row.overdue == 0
    assert row.due_in_all == 2
    assert row.next_check is not None and row.next_check.name == check.name
    assert row.unmet == 2  # one before the check, one beyond the plan
    assert row.first_due is not None and row.first_due.on <= DAY + timedelta(days=19)


def test_what_nobody_can_give_a_day_and_what_no_station_can_do_are_not_drawn_as_met():
    craft = rules.follows(build.an_aircraft("D1L-SLIDE", "D1R-SLIDE"))
    part = build.a_part()
    unknown = build.a_unit(part)
    known = build.a_unit(part, manufactured_on=build.day("2024-07-10"))
    build.installed(unknown, build.at_position(craft, "D1L-SLIDE"), "2025-01-01")
    build.installed(known, build.at_position(craft, "D1R-SLIDE"), "2025-01-01")
    rules.a_rule("OVH", rules.every(36, first_from="manufacture"), parts=[part])
    Check.objects.create(
        aircraft=craft,
        name="A1",
        starts_on=date(2027, 6, 25),
        ends_on=date(2027, 6, 26),
        station=craft.station,
        abilities=["ANOTHER-WORK"],
    )
    with time_machine.travel(build.instant("2027-06-01 12:00"), tick=False):
        rules.reckon()
        [row] = fleet_ahead(DAY)

    assert row.unknown == 1
    assert (row.due_in_all, row.unmet) == (1, 1)

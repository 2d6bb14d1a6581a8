"""An overdue repeat action is an obstacle of its own where a position is released open, at page and API."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from equipment.findings.acts.open_items import open_item
from equipment.findings.acts.openings import Opening, RepeatDone
from equipment.findings.acts.repeated import record_repeat_action
from fleet.house.refusals import Refused
from tests import builders as build
from tests import builders_swaps as swaps
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.equipment.line_world import signed_in

pytestmark = pytest.mark.django_db
DAY = build.day("2027-06-01")


@pytest.fixture(autouse=True)
def noon():
    with time_machine.travel(build.NOW, tick=False):
        yield


def opened(job, *, place=None, found=DAY - timedelta(days=4), **more):
    said = Opening(
        "MEL 25-62-01 rev 12",
        "Position open",
        found,
        DAY + timedelta(days=5),
        "C",
        repeat_days=2,
        repeat_actions="Look at the placard",
        **more,
    )
    where = {"place": place} if place is not None else {"aircraft_id": job.aircraft.pk}
    return open_item(
        by=build.a_person("controller"), opening=said, act_id=uuid4(), at=job.now, **where
    )


def left_open(job):
    """A removal whose position stays open by a document, with everything else done."""
    job.open(sort="removal")
    job.take_off()
    job.do_steps(but=(6, 7))
    return job


@pytest.fixture
def job():
    return left_open(swaps.a_job(swaps.SHORT))


def codes(job):
    with pytest.raises(Refused) as refused:
        job.release()
    return [each.code for each in refused.value.refusals]


def test_it_is_refused_until_the_action_is_done(job):
    item = opened(job, place=job.place)

    assert codes(job) == ["repeat_action_overdue"]
    done = RepeatDone(item.pk, DAY - timedelta(days=1), "R. Oake", "QAUT-9", "LOG 5")
    record_repeat_action(by=job.technician, done=done, act_id=uuid4(), at=job.now)
    assert job.release()


def test_on_its_last_day_it_is_not_overdue(job):
    opened(job, place=job.place, found=DAY - timedelta(days=2))

    assert job.release()


def test_the_page_and_the_api_say_which_action_and_since_when(job, program):  # noqa: F811
    opened(job, place=job.place)

    page = signed_in(job.certifier).get(reverse("equipment:swap_release", args=[job.swap.pk]))
    told = program("auditor").get(f"/api/v1/swaps/{job.swap.pk}").json()

    assert "Look at the placard, every 2 days by MEL 25-62-01 rev 12, was last due by 30 May" in (
        page.content.decode()
    )
    assert [each["code"] for each in told["obstacles"]] == ["repeat_action_overdue"]


def test_of_another_position_it_is_said_beside_the_release_and_does_not_stop_it():
    job = swaps.a_job(swaps.SHORT)
    job.do_all()
    opened(job)

    page = signed_in(job.certifier).get(reverse("equipment:swap_release", args=[job.swap.pk]))

    words = page.content.decode()
    assert "Nothing stands in the way" in words
    assert "This releases the swap, not the aircraft" in words
    assert "Look at the placard" in words
    assert job.release()


def test_a_unit_that_went_on_closes_the_item_and_its_action():
    job = swaps.a_job(swaps.SHORT)
    job.do_all()
    opened(job, place=job.place)

    assert job.release()

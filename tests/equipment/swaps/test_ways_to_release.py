"""What stands in the way of a release leads to where it is put right: at the unit in the stores too."""

from __future__ import annotations

import pytest
import time_machine
from django.test import Client

from equipment.swaps.pages.parts import swap_or_404
from equipment.swaps.pages.shown import swap_page
from equipment.swaps.pages.signing_shown import ways_of
from tests import builders as build
from tests.builders_swaps import a_job

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def midday():
    with time_machine.travel("2027-06-01 12:00:00+00:00", tick=False):
        yield


def test_an_empty_position_inside_leads_to_where_what_is_there_is_said(db, client: Client):
    job = a_job()
    job.new.part_number.positions.create(code="LIGHT", name="Light unit", kind=build.a_kind())
    swap = job.open()
    job.take_off()
    job.put_on()

    found = {each.href: each for each in ways_of(swap_page(swap_or_404(swap.pk)))}

    inside = f"/stores/units/{job.new.pk}/inside/"
    assert "LIGHT" in found[inside].sentence
    assert found[inside].way == "Say what is there"
    client.force_login(job.certifier)
    assert inside in client.get(f"/swaps/{swap.pk}/release/").content.decode()

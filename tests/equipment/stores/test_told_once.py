"""An act of several steps tells once what it changed: each telling reckons the units anew."""

from __future__ import annotations

import pytest

from equipment.models import Unit
from fleet.house.refusals import Refused
from fleet.house.signals import facts_changed
from tests import builders as build

from .test_reads import returned, sent
from .world import CERTIFIES, a_line, a_paper, a_stocked_unit, a_work, received, works

pytestmark = pytest.mark.django_db


@pytest.fixture
def told():
    heard = []

    def hear(sender, unit_ids=None, **news):
        heard.append((sender, unit_ids))

    facts_changed.connect(hear)
    yield heard
    facts_changed.disconnect(hear)


def of_equipment(told):
    return [units for sender, units in told if sender == "equipment"]


def test_a_receipt_with_its_paper_and_works_tells_its_units_once(told):
    works()
    build.a_part("HS-1")

    came = received(a_line(works=(a_work(),)), a_line("A101"))

    assert of_equipment(told) == [sorted(line.unit_id for line in came.lines)]


def test_a_return_from_a_shop_tells_once(told):
    works()
    build.a_part("HS-1")
    station = build.a_station("LYD")
    unit = a_stocked_unit(station)
    order = sent(unit, station, "PO-1")
    told.clear()

    returned(order, "2027-05-30")

    assert of_equipment(told) == [[unit.pk]]


def test_a_receipt_that_is_refused_tells_nothing_then_or_later(told):
    build.a_part("HS-1")
    with pytest.raises(Refused):
        received(a_line(), paper=a_paper(tracking_number=""), certifies=CERTIFIES)
    assert told == []

    came = received(a_line("A102"))

    assert of_equipment(told) == [[came.lines[0].unit_id]]
    assert Unit.objects.count() == 1

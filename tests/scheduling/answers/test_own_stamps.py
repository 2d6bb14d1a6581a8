"""An own spreadsheet's columns of a cylinder's stamp, to the unit and its published period."""

from __future__ import annotations

from datetime import date

import pytest
from django.urls import reverse

from equipment.availability.stamped import stamped_on
from equipment.models import CylinderMarking, Unit
from equipment.units.cylinder import cylinder_of
from fleet.house.pages import today
from fleet.models import Load, OwnWorkbook
from scheduling.answers.swaps import bottle_limits
from scheduling.due.uncovered import uncovered
from scheduling.models import DueItem, Limit
from scheduling.reckoning.recompute import recompute_stale
from tests.fleet.moving_in.test_pages import bring, file_of, kept_apart, office, send, worked
from tests.fleet.own_sheets.arrivals import BOOKS

__all__ = ["kept_apart", "office"]
pytestmark = pytest.mark.django_db(transaction=True)


def taken(client, tmp_path, **missing) -> OwnWorkbook:
    bring(client, file_of(BOOKS["stamped"](), tmp_path))
    workbook = OwnWorkbook.objects.latest("pk")
    said = {"station": "QMB", "type": "T-100", **missing}
    for step, more in (
        ("columns", {}),
        ("words", {}),
        ("missing", said),
        ("doubts", {}),
        ("compare", {}),
    ):
        send(client, step, workbook.key, **more)
    worked()
    workbook.refresh_from_db()
    assert workbook.load is not None
    client.post(reverse("fleet:load_decide", args=[workbook.load.key]), {"mode": "all_or_nothing"})
    worked()
    recompute_stale(today())
    return workbook


def test_it_is_the_units_own_and_chooses_its_period_and_the_limits_are_of_it(office, tmp_path):
    taken(office, tmp_path)

    lavatory = Unit.objects.get(serial_number="00108")
    galley = Unit.objects.get(serial_number="00109")
    found = stamped_on(lavatory)
    assert (found.specification, found.service_psig, found.test_psig) == ("3HT", 1850, 3083)
    assert (found.requalifier, found.lacks) == ("A123", ())
    assert cylinder_of(lavatory).chosen.months == 36
    assert cylinder_of(galley).chosen.months == 60
    assert {limit.code for limit in Limit.objects.all()} == {
        "HST-OXYGEN-3AA",
        "HST-OXYGEN-3HT",
        "OVH-SLIDE",
    }


def test_past_its_test_it_neither_flies_nor_is_filled_and_nothing_is_missing(office, tmp_path):
    taken(office, tmp_path)

    bottles = [row.unit_id for row in CylinderMarking.objects.all()]
    item = DueItem.objects.get(unit__serial_number="00108", work__code="HST")
    assert uncovered(bottles, today()) == {}
    assert bottle_limits(item.unit_id, today()).requalify_by == item.due_on == date(2027, 5, 11)
    assert item.limit.clocks.get(seq=item.decided_by).runs_out == "may_not_fly"


def test_the_page_says_what_is_published_and_where_a_limit_is_longer(office, tmp_path):
    bring(office, file_of(BOOKS["stamped"](), tmp_path))
    key = OwnWorkbook.objects.latest("pk").key
    send(office, "missing", key, **{"months-OXYGEN HST 3HT": "60"})

    page = office.get(reverse("fleet:load_own_missing", args=[key])).content.decode()

    assert "Oxygen cylinder, 3HT: hydrostatic test" in page
    assert "Published for 3HT: requalification every 3 years (49 CFR 180.209(a) Table 1)." in page
    assert page.count("Longer than published") == 1


def test_a_limit_of_some_part_numbers_is_none_of_the_others_of_their_kind(office, tmp_path):
    taken(office, tmp_path)
    bring(office, file_of(BOOKS["portuguese"](), tmp_path, "other.xlsx"))
    key = OwnWorkbook.objects.latest("pk").key

    page = office.get(reverse("fleet:load_own_missing", args=[key])).content.decode()
    send(office, "missing", key, type="T-200")
    send(office, "doubts", key)
    send(office, "compare", key, anyway="on")
    worked()
    load = OwnWorkbook.objects.latest("pk").load
    office.post(reverse("fleet:load_decide", args=[load.key]), {"mode": "all_or_nothing"})
    worked()

    assert 'name="months-OXYGEN HST"' in page
    assert 'name="months-SLIDE OVH"' not in page
    limit = Limit.objects.get(code="HST-OXYGEN-OX-11")
    assert [part.number for part in limit.part_numbers.all()] == ["OX-11"]


def test_the_next_copy_reads_no_stamp_again(office, tmp_path):
    taken(office, tmp_path)
    before = CylinderMarking.objects.count()
    taken(office, tmp_path)

    assert before == 13
    assert CylinderMarking.objects.count() == before
    assert Load.objects.latest("pk").state == Load.APPLIED

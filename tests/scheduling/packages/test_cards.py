"""Task cards and the pick list of a check: every job and step, every unit, on page and in each file."""

from __future__ import annotations

import csv
import io
import re
from uuid import uuid4

import openpyxl
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from equipment.availability.acts.reservations import reserve_unit
from fleet.house.pages import today
from scheduling.packages.reads.aside import Aside, SetAside
from tests import builders as build
from tests import builders_swaps as swaps
from tests.equipment.line_world import signed_in
from tests.scheduling.packages.hangar import Hangar

pytestmark = pytest.mark.django_db


@pytest.fixture
def hangar():
    made = Hangar()
    first, *rest = swaps.EVERY_SORT
    cautious = (*first[:5], {**first[5], "caution": "Pin in."})
    swaps.a_step_list(build.a_kind(), [cautious, *rest], title="Slide change")
    return made


@pytest.fixture
def desk():
    return signed_in(build.a_person("auditor"))


def pages_of(answer) -> list[str]:
    assert answer.status_code == 200 and answer["Content-Type"] == "application/pdf"
    pages = PdfReader(io.BytesIO(answer.content)).pages
    return [re.sub(r"\s+", " ", page.extract_text()) for page in pages]


def test_each_job_begins_a_page_with_its_works_documents_steps_and_cautions(hangar, desk):
    pages = pages_of(desk.get(reverse("scheduling:cards_file", args=[hangar.check.pk, "pdf"])))

    begun = [page for page in pages if re.search(r"Card \d+:", page)]
    assert len(begun) == 3
    for unit in (hangar.left, hangar.right, hangar.look):
        assert sum(unit.serial_number in page for page in begun) == 1
    for text in ("SL-OH", "VAR-MP revision 7", "Slide change", "CAUTION: Pin in.", "Found"):
        assert text in " ".join(pages)


def test_a_work_without_a_step_list_says_that_its_data_is_not_there(hangar, desk):
    page = desk.get(reverse("scheduling:check_cards", args=[hangar.check.pk])).content.decode()

    assert page.count("No step list is in force: the approved data is not on this card.") == 1


def test_a_work_in_place_has_the_steps_of_its_own_list(hangar, desk):
    swaps.a_step_list(build.a_kind(), title="A look at a slide", for_work="LOOK")

    page = desk.get(reverse("scheduling:check_cards", args=[hangar.check.pk])).content.decode()

    assert page.count("A look at a slide, QCM 25-60 revision 7") == 1
    assert "not on this card" not in page


def test_workbook_and_csv_have_a_row_for_each_step(hangar, desk):
    address = [
        reverse("scheduling:cards_file", args=[hangar.check.pk, form]) for form in ("xlsx", "csv")
    ]

    book = openpyxl.load_workbook(io.BytesIO(desk.get(address[0]).content)).worksheets[0]
    rows = list(csv.DictReader(io.StringIO(desk.get(address[1]).content.decode("utf-8-sig"))))

    steps = len(swaps.EVERY_SORT)
    assert len(rows) == 2 * steps + 1 and book.max_row == len(rows) + 1
    assert sum(isinstance(cell.value, int) for cell in book["E"]) == 2 * steps


def set_aside(hangar, unit):
    """A spare for the place of a unit."""
    spare = build.a_unit(hangar.left.part_number)
    build.moved(spare, "received", build.in_store(hangar.craft.station), "2026-03-01")
    unit.refresh_from_db()
    swaps.a_certificate(spare)
    reserve_unit(
        by=build.a_person("stores"),
        unit_id=spare.pk,
        place=unit.place_id,
        need_on=today(),
        act_id=uuid4(),
        at=timezone.now(),
    )
    return spare


def test_the_pick_list_has_what_lies_where_and_what_nothing_is_set_aside_for_first(hangar, desk):
    spare = set_aside(hangar, hangar.right)

    answer = desk.get(reverse("scheduling:picks_file", args=[hangar.check.pk, "csv"]))
    rows = list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))
    page = desk.get(reverse("scheduling:check_picks", args=[hangar.check.pk])).content.decode()
    [paper] = pages_of(desk.get(reverse("scheduling:picks_file", args=[hangar.check.pk, "pdf"])))

    assert [row["State"] for row in rows] == ["NOTHING SET ASIDE", "to take"]
    assert spare.serial_number in rows[1]["Unit"]
    assert hangar.right.serial_number in rows[1]["Comes off"]
    assert hangar.craft.station.code in rows[1]["Where it lies"]
    assert "<strong>nothing set aside</strong>" in page and spare.serial_number in page
    assert spare.serial_number in paper and "NOTHING SET ASIDE" in paper


def test_cards_ask_as_many_questions_of_more_jobs(hangar, desk):
    address = reverse("scheduling:check_cards", args=[hangar.check.pk])
    desk.get(address)
    with CaptureQueriesContext(connection) as few:
        desk.get(address)
    swaps.a_step_list(build.a_kind(), title="A look at a slide", for_work="LOOK")
    with CaptureQueriesContext(connection) as many:
        desk.get(address)

    assert len(many) <= len(few) + 1


def test_of_no_check_or_form_there_is_nothing(hangar, desk):
    asked = [
        "/plan/checks/99999/cards/",
        "/plan/checks/99999/picks/",
        f"/plan/checks/{hangar.check.pk}/cards/file/exe/",
        f"/plan/checks/{hangar.check.pk}/picks/file/exe/",
    ]

    assert [desk.get(each).status_code for each in asked] == [404] * 4


def test_of_several_set_aside_for_one_place_no_line_shows_another_s():
    """Two bottles come off one rack: what was set aside for either by its ruling is that one's, the rest in turn."""
    first, second, ruled = (SetAside(n, f"BT-1 S/N {n}", "R1", "Stores", False) for n in (1, 2, 3))
    rack = Aside()
    rack.add(7, None, first)
    rack.add(7, 41, ruled)
    rack.add(7, None, second)

    taken = [rack.taken_for(7, off) for off in (40, 41, 42, 43)]

    assert taken == [first, ruled, second, None]
    assert rack.taken_for(8, 40) is None

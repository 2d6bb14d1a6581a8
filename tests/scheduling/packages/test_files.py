"""Lists on paper and as workbooks, from their pages: every row, by whoever may read."""

from __future__ import annotations

import io
import re

import openpyxl
import pytest
from django.urls import reverse
from pypdf import PdfReader

from equipment.models import Unit
from tests import builders as build
from tests.equipment.line_world import signed_in
from tests.scheduling.packages.hangar import Hangar
from tests.scheduling.planning.world import reckoned

pytestmark = pytest.mark.django_db


@pytest.fixture
def hangar():
    made = Hangar()
    made.hand_over()
    return made


@pytest.fixture
def desk():
    return signed_in(build.a_person("auditor"))


def words_of(answer) -> str:
    assert answer.status_code == 200 and answer["Content-Type"] == "application/pdf"
    pages = PdfReader(io.BytesIO(answer.content)).pages
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))


def sheet_of(answer):
    book = openpyxl.load_workbook(io.BytesIO(answer.content))
    return list(book.worksheets[0].iter_rows(values_only=True))


def test_the_package_is_printed_with_every_item_its_state_and_who_has_it(hangar, desk):
    address = reverse("scheduling:package_file", args=[hangar.check.pk, "pdf"])

    words = words_of(desk.get(address))

    for unit in (hangar.left, hangar.right, hangar.look):
        assert unit.serial_number in words
    assert hangar.technician.shown_name in words and "In the hangar: 0 of 3 done" in words
    assert "Printed by" in words and "Page 1 of" in words


def test_the_package_is_a_workbook_with_real_days(hangar, desk):
    rows = sheet_of(desk.get(reverse("scheduling:package_file", args=[hangar.check.pk, "xlsx"])))

    assert len(rows) == 4
    assert all(hasattr(row[5], "year") for row in rows[1:])


def test_the_whole_due_list_is_printed_not_the_first_fifty(desk):
    hangar = Hangar()
    for position in range(60):
        unit = build.a_unit(hangar.left.part_number)
        store = build.in_store(hangar.craft.station)
        build.moved(unit, "received", store, f"2026-03-{position % 27 + 1:02}")
    reckoned()

    rows = sheet_of(desk.get(reverse("scheduling:due_export", args=["xlsx"])))
    words = words_of(desk.get(reverse("scheduling:due_export", args=["pdf"])))

    serials = {row[6] for row in rows[1:] if row[6]}
    assert len(rows) > 60
    assert [serial for serial in serials if f"S/N {serial}" not in words] == []
    assert f"{len(rows) - 1} rows" in words


def test_a_filtered_list_says_on_paper_what_it_was_narrowed_by(hangar, desk):
    address = reverse("scheduling:due_export", args=["pdf"])

    words = words_of(desk.get(address, {"aircraft": hangar.craft.registration}))

    assert f"Aircraft: {hangar.craft.registration}" in words


def test_a_units_history_is_printed_from_birth_and_a_fitted_list_with_what_is_empty(hangar, desk):
    history = words_of(desk.get(reverse("equipment:unit_history", args=[hangar.left.pk, "pdf"])))
    fitted = words_of(
        desk.get(reverse("equipment:fitted_file", args=[hangar.craft.registration, "pdf"]))
    )
    then = sheet_of(
        desk.get(
            reverse("equipment:fitted_file", args=[hangar.craft.registration, "xlsx"]),
            {"at": "2019-01-01"},
        )
    )

    assert "5 Jan 2020" in history and hangar.left.serial_number in history
    for unit in (hangar.left, hangar.right, hangar.look):
        assert unit.serial_number in fitted
    assert [row[5] for row in then[1:]] == ["nothing recorded there"] * len(then[1:])


def test_the_whole_stock_is_a_file(hangar, desk):
    unit = build.a_unit(hangar.left.part_number)
    build.moved(unit, "received", build.in_store(hangar.craft.station), "2026-03-01")

    rows = sheet_of(desk.get(reverse("equipment:stock_file", args=["xlsx"])))
    words = words_of(desk.get(reverse("equipment:stock_file", args=["pdf"])))

    held = Unit.objects.filter(place__sort__in=("store", "quarantine")).count()
    assert len(rows) == held + 1
    assert unit.serial_number in words


@pytest.mark.parametrize(
    "address",
    ["/units/1/history/doc/", "/fitted/Q-NONE/pdf/", "/plan/checks/99999/package/file/pdf/"],
)
def test_what_is_not_there_is_not_found(desk, address):
    assert desk.get(address).status_code == 404


def test_junk_asked_of_a_file_is_said_in_a_sentence(desk):
    answer = desk.get(reverse("equipment:stock_file", args=["pdf"]), {"station": "NOWHERE"})

    assert answer.status_code == 400 and answer["Content-Type"].startswith("text/plain")

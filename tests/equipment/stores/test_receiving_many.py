"""A box of units under one certificate is received on one page: each line is a unit of its own."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from equipment.models import Attachment, Certificate, Movement, PartNumber, Place, Unit
from scheduling.models import WorkDone
from tests import builders as build
from tests.equipment.line_world import crew, signed_in
from tests.equipment.stores import world

pytestmark = pytest.mark.django_db
RECEIVE = "equipment:stores_receive"
PAPER = {
    "form": "Form 1",
    "tracking_number": "C-31",
    "issuer": "Lee Shore Overhaul",
    "printed_serial": "L-1",
    "status": "Overhauled",
    "issued_on": "2026-05-01",
}


@pytest.fixture
def clerk(db):
    return signed_in(crew()["stores"])


@pytest.fixture
def station(clerk):
    world.works()
    build.a_part("HL-7")
    return build.a_station("QBAS")


def a_receipt(station, **more):
    typed = {"part_number": "HL-7", "serial_number": "L-1", "quantity": "1", "bin": "Q1"}
    came = {"station": station.pk, "received_on": "2026-06-01", "act_id": str(uuid4())}
    return {**typed, **came, **PAPER, "more_units": "L-2\r\n\r\n l-3 \r\n", **more}


def post(clerk, form):
    return clerk.post(reverse(RECEIVE), form, follow=True)


def text(answer):
    return answer.content.decode()


def test_every_line_is_a_unit_with_the_same_certificate_and_file(clerk, station):
    scan = SimpleUploadedFile("scan.pdf", b"%PDF-1.4 a scan", "application/pdf")

    answer = post(clerk, a_receipt(station, file=scan))

    units = Unit.objects.order_by("serial_number").select_related("place")
    assert [unit.serial_number for unit in units] == ["L-1", "L-2", "L-3"]
    assert {(unit.place.sort, unit.place.name) for unit in units} == {(Place.QUARANTINE, "Q1")}
    assert set(Certificate.objects.values_list("tracking_number", flat=True)) == {"C-31"}
    assert len(set(Movement.objects.values_list("act_id", flat=True))) == 1
    assert Attachment.objects.count() == 1  # one paper, one scan
    assert "Received with it: 2" in text(answer)
    for unit in units:
        shown = clerk.get(reverse("equipment:stores_unit", args=[unit.pk]))
        assert "scan.pdf" in text(shown)


def test_a_work_that_it_certifies_is_done_to_each(clerk, station):
    post(clerk, a_receipt(station, work_0="OH", work_0_on="2026-04-30"))

    assert WorkDone.objects.count() == 3


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("L-2 two", "Line 1: give one serial number"),
        ("L-2 L-3 L-4", "Line 1: give one serial number"),
        ("L-2 7", "Line 1: This part has a serial number each"),
        ("L-2\nL-2", "Line 2: HL-7 S/N L-2 stands twice"),
        ("L-2\n\nL-1", "Line 3: HL-7 S/N L-1 stands twice"),
        ("L-2\n" + "9" * 41, "Line 2: This is no number of a plate"),
    ],
)
def test_a_wrong_line_is_named_and_nothing_is_done(clerk, station, line, words):
    answer = post(clerk, a_receipt(station, more_units=line))

    assert answer.status_code == 422
    assert words in text(answer)
    assert not Unit.objects.exists()


def test_a_line_that_looks_like_a_known_unit_is_asked_about_once(clerk, station):
    build.a_unit(PartNumber.objects.get(number="HL-7"), serial_number="L-20")
    form = a_receipt(station, more_units="L-2O")

    asked = post(clerk, form)
    answer = post(clerk, {**form, "is_confirmed": "on"})

    assert "Line 1: HL-7 S/N L-20 is on record and looks like L-2O" in text(asked)
    assert "it is another unit" in text(asked)
    assert answer.status_code == 200
    assert Unit.objects.count() == 3


def test_totals_are_of_one_unit(clerk, station):
    hours = build.the_hours()

    answer = post(clerk, a_receipt(station, measure_0=hours.code, total_0="120:00"))

    assert "receive it by itself" in text(answer)
    assert not Unit.objects.exists()


def test_lots_are_counted_and_block_10_may_say_that_they_have_no_serial_numbers(clerk, station):
    build.a_part("HB-1", is_lot=True)
    more = {"part_number": "HB-1", "serial_number": "B-1", "quantity": "6", "more_units": "B-2 24"}

    post(clerk, a_receipt(station, **more, printed_serial="N/A"))

    found = Unit.objects.order_by("serial_number").values_list("serial_number", "quantity")
    assert list(found) == [("B-1", 6), ("B-2", 24)]

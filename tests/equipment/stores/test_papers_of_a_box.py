"""A box under one certificate as it is printed; a paper that looks alike, is another's, or covers fewer; what came with it."""

from __future__ import annotations

from decimal import Decimal
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from equipment.models import (
    Attachment,
    Certificate,
    PartPosition,
    Place,
    StrayPaper,
    Unit,
    UnitCorrection,
    UnitPrice,
)
from equipment.segregation.facts import Asked, uses_of
from equipment.stores.acts.facts import CameInside
from equipment.stores.acts.late_papers import LatePaper, bring_paper
from equipment.stores.reads.stock import StockAsked, stock
from equipment.stores.reads.worth import Worth, worth_of
from equipment.units.acts.corrected import CorrectedUnit, correct_unit
from fleet.house.refusals import Refused
from tests import builders as build
from tests.equipment.line_world import crew, signed_in
from tests.equipment.stores.test_receiving_many import RECEIVE, a_receipt
from tests.equipment.stores.world import (
    AT,
    TODAY,
    a_line,
    a_paper,
    code_of,
    inspected,
    received,
    works,
)

pytestmark = pytest.mark.django_db
BOX = "E2001, E2002, E2OO3"


@pytest.fixture(autouse=True)
def part(db):
    works()
    return build.a_part("HS-1")


def lines(*serials, **more):
    return [a_line(serial, printed_serial=BOX, **more) for serial in serials]


def refused(act):
    with pytest.raises(Refused) as found:
        act()
    return [(each.code, each.field) for each in found.value.refusals]


def test_block_10_may_name_the_whole_box():
    made = received(*lines("E2001", "E2002"))

    papers = Certificate.objects.order_by("unit")
    assert [each.printed_serial for each in papers] == [BOX, BOX] and len(made.lines) == 2


@pytest.mark.parametrize(
    "printed", ["E2001;E2002", "e2001 and E2002", "E2001 & E2002", "E2002\nE2001"]
)
def test_its_numbers_stand_apart_in_several_ways(printed):
    received(a_line("E2001", printed_serial=printed))

    assert Certificate.objects.get().printed_serial == printed


def test_a_number_with_a_blank_or_a_slash_is_one_number():
    assert code_of(received, a_line("E2001", printed_serial="E2001/2")) == "certificate_for_another"


def test_o_and_nought_are_asked_about_and_then_the_same():
    box = lines("E2001", "E2003")
    assert refused(lambda: received(*box)) == [("printed_near_match", "lines.1.printed_serial")]
    assert not Unit.objects.exists()

    received(*lines("E2001", "E2003", is_same_serial=True))

    assert {each.serial_number for each in Unit.objects.all()} == {"E2001", "E2003"}


def test_a_tick_does_not_make_another_number_the_same():
    line = a_line("E2009", printed_serial=BOX, is_same_serial=True)
    assert code_of(received, line) == "certificate_for_another"


def test_late_and_from_the_shop_it_is_asked_about_too(part):
    unit = Unit.objects.get(pk=received(paper=None).lines[0].unit_id)

    def bring(**more):
        late = LatePaper(a_paper(), "A1OO", **more)
        facts = {"unit_id": unit.pk, "act_id": uuid4(), "at": AT, "today": TODAY}
        return bring_paper(by=build.a_person("stores"), late=late, **facts)

    assert refused(bring) == [("printed_near_match", "printed_serial")]
    bring(is_same_serial=True)
    assert Certificate.objects.get(unit=unit).printed_serial == "A1OO"


def test_a_certificate_of_another_unit_is_kept_with_it_in_quarantine():
    line = a_line("E2009", printed_serial=BOX, is_of_another=True)

    made = received(line)

    unit = Unit.objects.select_related("place").get(pk=made.lines[0].unit_id)
    assert unit.place.sort == Place.QUARANTINE
    assert "is for S/N E2001, E2002, E2OO3: its own is missing." in made.lines[0].why_quarantined
    assert StrayPaper.objects.get().unit == unit and not Certificate.objects.exists()
    assert not uses_of([unit.pk], Asked(TODAY, AT))[unit.pk].has_certificate
    assert code_of(inspected, unit.pk) == "no_certificate"


def test_in_a_box_the_others_have_their_certificate():
    made = received(*lines("E2001"), a_line("E2009", printed_serial=BOX, is_of_another=True))

    assert [bool(each.certificate) for each in made.lines] == [True, False]


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"printed_serial": "A100"}, "certificate_is_its_own"),
        ({"printed_serial": "A1OO"}, "certificate_is_its_own"),
        ({"printed_serial": ""}, "certificate_is_its_own"),
        ({"printed_serial": "N/A"}, "certificate_is_its_own"),
    ],
)
def test_its_own_is_not_called_anothers(more, code):
    assert code_of(received, a_line("A100", is_of_another=True, **more)) == code


def test_a_certificate_covers_what_it_says():
    paper = a_paper(covers=1, approval_number="QA.145.07", signatory="L. Marsh")
    assert code_of(received, *lines("E2001", "E2002"), paper=paper) == "certificate_covers_fewer"

    received(*lines("E2001"), paper=paper)

    kept = Certificate.objects.get()
    assert (kept.covers, kept.approval_number, kept.signatory) == (1, "QA.145.07", "L. Marsh")


def test_the_price_of_each_is_kept_and_what_is_no_amount_refused():
    for price, currency in (("abc", "EUR"), ("-5", "EUR"), ("480,50", ""), ("1.000", "EUR")):
        assert refused(lambda p=price, c=currency: received(price=p, currency=c)) in (
            [("price_not_read", "price")],
            [("currency_not_read", "price")],
        )
    received(*lines("E2001", "E2002"), price="480,50", currency="eur")

    assert [each.amount for each in UnitPrice.objects.all()] == [Decimal("480.50")] * 2


def test_what_came_inside_is_on_record_at_once(part):
    light = build.a_part("HL-7")
    PartPosition.objects.create(part_number=part, code="LIGHT", kind=light.kind)
    inside = (CameInside("light", "HL-7", "L-1"),)

    made = received(a_line(inside=inside))

    inner = Unit.objects.select_related("place").get(serial_number="L-1")
    assert inner.place.sort == Place.INSIDE
    assert inner.place.parent_unit_id == made.lines[0].unit_id


@pytest.mark.parametrize(
    ("inside", "code"),
    [
        (("NOWHERE", "HL-7", "L-1"), "unknown_position"),
        (("LIGHT", "NONE-1", "L-1"), "unknown_part_number"),
        (("LIGHT", "HL-7", ""), "serial_number_missing"),
    ],
)
def test_what_cannot_be_inside_is_refused_and_nothing_is_received(part, inside, code):
    light = build.a_part("HL-7")
    PartPosition.objects.create(part_number=part, code="LIGHT", kind=light.kind)

    found = refused(lambda: received(a_line(inside=(CameInside(*inside),))))

    assert found == [(code, "inside")] and not Unit.objects.exists()


def test_the_clerk_corrects_a_receipt_by_a_later_fact():
    clerk = build.a_person("stores")
    [line] = received(by=clerk).lines
    said = CorrectedUnit(
        unit_id=line.unit_id,
        serial_number="A10O",
        manufactured_on=build.day("2025-02-03"),
        reason="Misread; the plate says so.",
    )

    correct_unit(by=clerk, correction=said, act_id=uuid4(), at=AT)

    unit = Unit.objects.get(pk=line.unit_id)
    assert (unit.serial_number, unit.manufactured_on) == ("A10O", build.day("2025-02-03"))
    assert UnitCorrection.objects.get().before["serial_number"] == "A100"


# --- by page ---------------------------------------------------------------------------------


@pytest.fixture
def clerk(db):
    return signed_in(crew()["stores"])


@pytest.fixture
def station(clerk):
    build.a_part("HL-7")
    return build.a_station("QBAS")


def sent(clerk, form):
    answer = clerk.post(reverse(RECEIVE), form, follow=True)
    return answer.content.decode()


def test_by_page_a_box_is_copied_as_printed(clerk, station):
    form = a_receipt(station, printed_serial="L-1, L-2, L-3", more_units="L-2\nL-3")
    assert "Received" in sent(clerk, form)
    assert Certificate.objects.filter(printed_serial="L-1, L-2, L-3").count() == 3


def test_by_page_the_question_stands_at_its_field_and_what_was_typed_stays(clerk, station):
    form = a_receipt(station, serial_number="LO1", printed_serial="L01", more_units="")
    said = sent(clerk, form)
    assert "may have been taken for each other" in said and 'name="is_same_serial"' in said

    assert "Received" in sent(clerk, {**form, "is_same_serial": "on", "act_id": str(uuid4())})


def test_by_page_a_paper_of_another_unit_is_kept(clerk, station):
    form = a_receipt(station, printed_serial="X9", more_units="")
    assert 'name="is_of_another"' in sent(clerk, form)

    said = sent(clerk, {**form, "is_of_another": "on", "act_id": str(uuid4())})

    assert "No release certificate came with it" in said
    unit = Unit.objects.get(serial_number="L-1")
    page = clerk.get(reverse("equipment:stores_unit", args=[unit.pk])).content.decode()
    assert "came with it and names another unit" in page


def test_by_page_a_file_is_taken_away_again(clerk, station):
    scan = SimpleUploadedFile("scan.pdf", b"%PDF-1.4 a scan", "application/pdf")
    none = {name: "" for name in ("form", "tracking_number", "issuer", "status", "issued_on")}
    form = {**a_receipt(station, more_units="", file=scan), **none, "printed_serial": ""}
    said = sent(clerk, {**form, "has_no_paper": "on"})
    assert 'name="leaves_file_out"' in said
    kept = {"kept_name": "scan.pdf", "kept_content": "JVBERi0xLjQgYSBzY2Fu", "has_no_paper": "on"}
    again = {**form, **kept, "file": "", "act_id": str(uuid4())}
    assert "clear either" in sent(clerk, again)

    assert "Received" in sent(clerk, {**again, "leaves_file_out": "on", "act_id": str(uuid4())})
    assert not Attachment.objects.exists()


def test_by_page_price_and_what_is_inside_at_once(clerk, station):
    form = a_receipt(
        station, more_units="", price="480,50", price_currency="EUR", inside="LIGHT HL-9"
    )
    said = sent(clerk, form)
    assert "Line 1: give the position, the part number and the serial number." in said

    sent(clerk, {**form, "inside": "", "act_id": str(uuid4())})
    unit = Unit.objects.get(serial_number="L-1")
    page = clerk.get(reverse("equipment:stores_unit", args=[unit.pk])).content.decode()
    assert "480.50 EUR" in page


def test_the_stock_says_what_it_cost_and_how_much_of_it_has_no_price(client, part):
    received(*lines("E2001", "E2002"), price="480.50", currency="EUR")
    received(a_line("A100"), paper=a_paper(tracking_number="C-2"))

    rows = stock(StockAsked(), on=TODAY, at=AT)
    worth = worth_of(rows)

    assert (worth.sums, worth.unpriced) == (("961.00 EUR",), 1)
    assert worth_of([]) == Worth((), 0)
    client.force_login(build.a_person("stores"))
    said = client.get("/stores/stock/").content.decode()
    assert "961.00 EUR" in said and "1 more without a" in said

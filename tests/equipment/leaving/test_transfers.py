from __future__ import annotations

import csv
import io
from uuid import uuid4

import openpyxl
import pytest
from django.urls import reverse
from pypdf import PdfReader

from equipment.keeping.repair import check_whereabouts
from equipment.leaving.acts.transfers import NewTransfer, receive_transfer, send_transfer
from equipment.models import DangerousGoods, Movement, PartNumber, Transfer, TransferReceipt, Unit
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import why_not_use
from equipment.stores.reads.scans import next_page
from equipment.stores.reads.stock import StockAsked, stock
from fleet.house.refusals import Refused
from tests import builders as build
from tests.at_once import people
from tests.equipment.stores.world import AT, TODAY, a_line, a_stocked_unit, code_of, received

pytestmark = pytest.mark.django_db


@pytest.fixture
def clerk(db):
    return build.a_person("stores")


@pytest.fixture
def there(db):
    return build.a_station()


def sent(clerk, unit, there, **more):
    said = NewTransfer(unit.pk, there.pk, "TN-17", more.pop("on", TODAY))
    return send_transfer(by=clerk, transfer=said, act_id=uuid4(), at=AT)


def arrived(clerk, transfer, on=TODAY, is_damaged=False, words=""):
    return receive_transfer(
        by=clerk,
        transfer_id=transfer.pk,
        received_on=on,
        is_damaged=is_damaged,
        words=words,
        act_id=uuid4(),
        at=AT,
    )


def place_of(unit):
    return Unit.objects.select_related("place__station").get(pk=unit.pk).place


def test_in_transit_it_is_available_at_neither_station_and_says_so(clerk, there):
    unit = a_stocked_unit()
    transfer = sent(clerk, unit, there)

    assert stock(StockAsked(), on=TODAY, at=AT) == []
    use = uses_of([unit.pk], Asked(TODAY, AT))[unit.pk]
    assert "unit_in_transit" in [each.code for each in why_not_use(use)]
    assert next_page(f"{unit.part_number} {unit.serial_number}", TODAY) == reverse(
        "equipment:stores_transfer", args=[transfer.pk]
    )
    arrived(clerk, transfer)
    assert (place_of(unit).sort, place_of(unit).station) == ("store", there)
    assert [row.state for row in stock(StockAsked(), on=TODAY, at=AT)] == ["available"]
    assert list(check_whereabouts()) == []


def test_it_is_received_by_its_transfer_and_not_as_something_new(clerk, there):
    unit = a_stocked_unit()
    sent(clerk, unit, there)

    line = a_line(unit.serial_number, unit.part_number.number)
    with pytest.raises(Refused) as refused:
        received(line, station=there)
    assert "unit_in_transit" in [each.code for each in refused.value.refusals]


def test_damaged_it_goes_to_quarantine_and_what_left_quarantine_stays_in_one(clerk, there):
    broken, waiting = a_stocked_unit(), build.a_unit()
    build.moved(waiting, "received", build.in_quarantine(build.a_station()), "2027-03-01")
    first, second = sent(clerk, broken, there), sent(clerk, waiting, there)

    assert code_of(arrived, clerk, first, is_damaged=True) == "missing"
    arrived(clerk, first, is_damaged=True, words="Box crushed.")
    arrived(clerk, second)

    assert [place_of(unit).sort for unit in (broken, waiting)] == ["quarantine"] * 2


def test_dangerous_goods_go_with_their_particulars_as_they_were_then(clerk, there):
    part = build.a_part()
    PartNumber.objects.filter(pk=part.pk).update(dangerous_goods="2.2 UN1013")
    unit = a_stocked_unit(part=part)

    assert code_of(sent, clerk, unit, there) == "particulars_missing"
    assert place_of(unit).sort == "store"
    goods = DangerousGoods.objects.create(
        part_number=part,
        un_number="1013",
        hazard_class="2.2",
        quantity="1.4 kg",
        packing="One wooden box",
    )
    transfer = sent(clerk, unit, there)
    goods.packing = "Two boxes"
    goods.save()

    [told] = Transfer.objects.get(pk=transfer.pk).particulars["goods"]
    assert (told["un_number"], told["hazard_class"]) == ("1013", "2.2")
    assert (told["quantity"], told["packing"]) == ("1.4 kg", "One wooden box")


def test_what_cannot_be_is_refused_in_words_and_nothing_moves(clerk, there):
    unit = a_stocked_unit(there)
    moved = Movement.objects.count()

    assert code_of(sent, clerk, unit, there) == "same_station"
    other = build.a_station()
    assert code_of(sent, clerk, unit, other, on=build.day("2027-06-20")) == "in_the_future"
    assert code_of(sent, build.a_person("technician"), unit, other) == "not_permitted"
    assert Movement.objects.count() == moved
    transfer = sent(clerk, unit, other)
    assert code_of(sent, clerk, unit, there) == "unit_not_in_store"
    early = build.day("2027-05-01")
    assert code_of(arrived, clerk, transfer, on=early) == "received_before_sending"
    arrived(clerk, transfer)
    assert code_of(arrived, clerk, transfer) == "transfer_received"


def test_by_the_pages_with_a_paper_to_print(client, clerk, there):
    unit = build.a_unit()
    build.moved(unit, "received", build.in_store(build.a_station()), "2026-01-02")
    client.force_login(clerk)
    form = {
        "act_id": uuid4(),
        "station": there.pk,
        "waybill": "",
        "sent_on": "2026-02-05",
        "words": "",
    }
    address = reverse("equipment:stores_transfer_send", args=[unit.pk])
    refused = client.post(address, form)
    assert refused.status_code == 422 and set(refused.context["form"].errors) == {"waybill"}
    client.post(address, form | {"act_id": uuid4(), "waybill": "TN-17"})

    transfer = Transfer.objects.get()
    listed = client.get(reverse("equipment:stores_transfers")).content.decode()
    assert "TN-17" in listed and "Receive it" in listed
    paper = client.get(reverse("equipment:stores_transfer_paper", args=[transfer.pk]))
    assert paper["Content-Type"] == "application/pdf" and paper.content.startswith(b"%PDF")
    form = {"act_id": uuid4(), "received_on": "2026-02-07", "words": ""}
    client.post(reverse("equipment:stores_transfer", args=[transfer.pk]), form)
    assert TransferReceipt.objects.get().transfer == transfer


@pytest.mark.django_db(transaction=True)
def test_of_two_who_receive_it_at_one_moment_one_is_told_of_the_other():
    clerks = [build.a_person("stores") for _ in range(2)]
    transfer = sent(clerks[0], a_stocked_unit(), build.a_station())

    def receive(person):
        try:
            return arrived(person, transfer).pk
        except Refused as refused:
            return refused.code

    with people() as at_once:
        done = at_once(*(lambda each=each: receive(each) for each in clerks))

    assert sorted(map(str, done))[-1] == "transfer_received"
    assert TransferReceipt.objects.count() == 1


def test_what_is_in_transit_is_a_list_on_paper_a_workbook_and_csv(clerk, there, client):
    unit = a_stocked_unit()
    sent(clerk, unit, there)
    client.force_login(clerk)

    def file(form):
        return client.get(reverse("equipment:transfers_file", args=[form])).content

    [row] = csv.DictReader(io.StringIO(file("csv").decode("utf-8-sig")))
    book = openpyxl.load_workbook(io.BytesIO(file("xlsx"))).worksheets[0]
    paper = PdfReader(io.BytesIO(file("pdf"))).pages[0].extract_text()

    assert (row["Serial number"], row["To"], row["Paper"]) == (
        unit.serial_number,
        there.code,
        "TN-17",
    )
    assert book["A2"].value.date() == TODAY and book.max_row == 2
    assert unit.serial_number in paper and "TN-17" in paper

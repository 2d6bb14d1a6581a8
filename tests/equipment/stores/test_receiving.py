from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

import pytest

from equipment.availability.acts.holds import NewHold, hold_units
from equipment.codes.label import write_label
from equipment.common.attached import FileFact
from equipment.models import Attachment, Certificate, LifeStatement, Movement, Title, Unit
from equipment.stores.acts.facts import TitleSaid, TotalFact
from fleet.house.refusals import Refused
from scheduling.models import WorkDone
from tests import builders as build

from .world import AT, TODAY, a_line, a_paper, a_stocked_unit, a_work, code_of, received, works

pytestmark = pytest.mark.django_db
PDF = FileFact("certificate.pdf", b"%PDF-1.7 invented")


@pytest.fixture(autouse=True)
def part(db):
    works()
    build.the_hours()
    return build.a_part("HS-1")


def test_many_lines_come_under_one_certificate_and_wait_for_their_inspection():
    done = received(a_line("A100"), a_line("A200"), paper=a_paper(is_dual_release=True, file=PDF))

    assert [line.is_known for line in done.lines] == [False, False]
    assert {unit.place.sort for unit in Unit.objects.all()} == {"quarantine"}
    assert {m.reason for m in Movement.objects.all()} == {"Waits for its incoming inspection."}
    papers = Certificate.objects.order_by("pk")
    assert [(c.is_dual_release, c.supplier) for c in papers] == [(True, "Tidewater Parts")] * 2
    assert Attachment.objects.get().certificate == papers[0]


def test_a_scanned_label_says_part_serial_and_month_of_manufacture():
    code = write_label(maker_code="HALY1", part_number="HS-1", serial="K300", manufactured_on=TODAY)

    [line] = received(a_line("", "", scanned=code, printed_serial="K300")).lines

    unit = Unit.objects.get(pk=line.unit_id)
    assert (unit.serial_number, unit.manufactured_on) == ("K300", TODAY)


def test_works_that_the_certificate_certifies_restart_limits_and_totals_are_taken():
    line = a_line(works=(a_work(total_cycles=41),), totals=(TotalFact("hours", 6000),))

    [done] = received(line).lines

    work = WorkDone.objects.get()
    assert (work.unit_id, work.work.code, work.total_cycles) == (done.unit_id, "OH", 41)
    assert (work.shop_released_on, work.certificate) == (a_paper().issued_on, "C-1")
    assert LifeStatement.objects.get().total == 6000


def test_without_papers_it_goes_to_quarantine_with_the_reason_and_is_not_refused():
    [line] = received(a_line(), paper=None).lines

    assert line.why_quarantined == "No release certificate came with it."
    assert Movement.objects.get().reason == line.why_quarantined


def test_what_a_hold_is_about_comes_into_quarantine_under_it():
    hold = NewHold("supplier", "unapproved", "Forged stamps", value="Tidewater Parts")
    hold_units(by=build.a_person("stores"), hold=hold, act_id=uuid4(), at=AT)

    [line] = received(a_line()).lines

    assert "suspected unapproved part" in line.why_quarantined


def test_a_unit_that_was_with_us_before_is_recognised():
    known = build.a_unit(Unit.objects.none().first() or part_named(), serial_number="A100")

    [line] = received(a_line("a100", printed_serial="A100")).lines

    assert (line.unit_id, line.is_known) == (known.pk, True)


def part_named(number="HS-1"):
    from equipment.models import PartNumber

    return PartNumber.objects.get(number=number)


def test_a_near_match_is_asked_about_and_taken_when_confirmed():
    build.a_unit(part_named(), serial_number="A-1O0")

    assert code_of(received, a_line("A100")) == "near_match"
    [line] = received(a_line("A100", is_confirmed=True)).lines

    assert not line.is_known


def test_whose_it_is_and_at_what_charge_is_kept_from_its_receipt():
    title = TitleSaid(
        "pool_loan", "Skerry Air", return_by=build.day("2027-09-01"), charge="40 a day"
    )

    received(title=title)

    kept = Title.objects.get()
    assert (kept.owner, kept.charge, kept.from_on) == ("Skerry Air", "40 a day", TODAY)


def test_the_same_act_again_changes_nothing():
    act, station, clerk = uuid4(), build.a_station(), build.a_person("stores")

    first = received(act_id=act, station=station, by=clerk)
    again = received(act_id=act, station=station, by=clerk)

    assert not again.is_new
    assert again.lines[0].unit_id == first.lines[0].unit_id
    assert Movement.objects.count() == 1


BLANK, OTHER = {"printed_serial": ""}, {"printed_serial": "B999"}
REFUSED = {
    "block 10 blank": (a_line(**BLANK), {}, "block_10_blank"),
    "N/A though it has serials": (a_line(printed_serial="N/A"), {}, "block_10_not_applicable"),
    "a certificate for another serial": (a_line(**OTHER), {}, "certificate_for_another"),
    "a work the term does not certify": (a_line(works=(a_work("TEST"),)), {}, "work_not_certified"),
    "an unknown work": (
        a_line(works=(a_work("XX"),)),
        {"certifies": {"overhauled": ("XX",)}},
        "unknown_work",
    ),
    "works without a certificate": (
        a_line(works=(a_work(),)),
        {"paper": None},
        "work_not_certified",
    ),
    "a certificate of later": (
        a_line(),
        {"paper": a_paper(issued_on=build.day("2027-07-01"))},
        "certificate_after_receipt",
    ),
    "a certificate without a number": (
        a_line(),
        {"paper": a_paper(tracking_number=" ")},
        "certificate_incomplete",
    ),
    "an unknown part": (a_line(part="ZZ-9"), {}, "unknown_part_number"),
    "a part that looks like another": (a_line(part="HSI"), {}, "near_match"),
    "a code that cannot be read": (
        a_line("", "", scanned="[)>\x1e06\x1dQ5\x1e\x04"),
        {},
        "code_not_read",
    ),
    "typed and scanned differ": (a_line("B1", scanned="P/N HS-1 S/N A100"), {}, "scan_differs"),
    "several of a part with serials": (a_line(quantity=6), {}, "quantity_wrong"),
    "a day to come": (a_line(), {"received_on": build.day("2027-06-03")}, "in_the_future"),
    "an executable": (
        a_line(),
        {"paper": a_paper(file=FileFact("c.pdf", b"MZ\x90\x00"))},
        "file_not_accepted",
    ),
    "a file of 300 MB": (
        a_line(),
        {"paper": a_paper(file=FileFact("c.pdf", b"%PDF-" + bytes(300 * 2**20)))},
        "file_too_large",
    ),
}


@pytest.mark.parametrize(("line", "more", "code"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_is_refused_and_nothing_is_half_done(line, more, code):
    assert code_of(received, line, **more) == code

    assert not Unit.objects.exists()
    assert not Certificate.objects.exists()


def test_block_10_may_be_not_applicable_of_what_is_tracked_by_lot():
    build.a_part("HS-CART", is_lot=True)

    received(a_line("BATCH7", "HS-CART", quantity=40, printed_serial="N/A"))

    assert Unit.objects.get().quantity == 40


def test_a_unit_received_twice_is_told_where_it_is_and_since_when():
    part = part_named()
    stocked = a_stocked_unit(build.a_station("LYD"), part, serial_number="A100")

    with pytest.raises(Refused) as refused:
        received(a_line("A100"))

    assert refused.value.code == "received_already"
    assert (
        f"{stocked.part_number} S/N A100 has been received: it is at store LYD since 1 Mar 2027"
        in refused.value.message
    )


def test_of_several_lines_the_refusal_names_the_one():
    with pytest.raises(Refused) as refused:
        received(a_line("A100"), replace(a_line("A200"), printed_serial=""))

    assert refused.value.field == "lines.1.printed_serial"


def test_who_may_receive_is_asked_inside():
    assert code_of(received, by=build.a_person("technician")) == "not_permitted"

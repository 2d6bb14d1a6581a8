"""At one moment, on a real database: of three ways out of the shelf one is taken, a lot keeps its pieces, each print has
its number, and no more is received than was asked for."""

from __future__ import annotations

from functools import partial
from uuid import uuid4

import pytest

from equipment.buying.acts.requests import NewRequest, NewStep, note_purchase, request_purchase
from equipment.keeping.repair import check_whereabouts
from equipment.leaving.acts.loans import NewLoan, lend_unit
from equipment.leaving.acts.pieces import LotsJoined, PiecesUsed, join_lots, use_pieces
from equipment.leaving.acts.scrap import Scrapped, scrap_unit
from equipment.leaving.acts.transfers import NewTransfer, send_transfer
from equipment.ledger.facts import RowsRefused, When
from equipment.models import Loan, PrintedTag, PurchaseStep, Scrapping, Transfer, Unit, UnitTag
from equipment.units.acts.lots import split_lot
from equipment.units.acts.printing import bring_tag_back, print_tag
from fleet.house.refusals import Refused
from tests import builders as build
from tests.at_once import people
from tests.equipment.stores.world import AT, TODAY, a_stocked_unit, stocked_units
from tests.sweeps import many

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True), pytest.mark.sweep]
ROUNDS = many(200, 8)


def tried(act):
    """None where it was done; else the code of the refusal."""
    try:
        act()
    except (Refused, RowsRefused) as refused:
        return refused.code
    return None


def test_a_unit_is_scrapped_or_lent_or_sent_and_never_two_of_them():
    station, other = build.a_station(), build.a_station()
    units = stocked_units(station, build.a_part(), ROUNDS)
    clerks = [build.a_person("stores", "controller") for _ in range(3)]

    def ways(unit):
        scrap = Scrapped(unit, "Torn", "cut", "R. Oake", "none", TODAY)
        loan = NewLoan(unit, "Skerry Air", "LN-1", TODAY, build.day("2027-08-01"))
        sent = NewTransfer(unit, other.pk, "TN-17", TODAY)
        more = {"act_id": uuid4(), "at": AT}
        return (
            partial(scrap_unit, by=clerks[0], scrap=scrap, **more),
            partial(lend_unit, by=clerks[1], loan=loan, **{**more, "act_id": uuid4()}),
            partial(send_transfer, by=clerks[2], transfer=sent, **{**more, "act_id": uuid4()}),
        )

    with people(3) as at_once:
        for unit in units:
            codes = at_once(*(partial(tried, way) for way in ways(unit)))
            assert codes.count(None) == 1, codes

    took = [model.objects.count() for model in (Scrapping, Loan, Transfer)]
    assert sum(took) == ROUNDS and list(check_whereabouts()) == []


def test_a_lot_split_twice_at_once_keeps_its_pieces():
    part = build.a_part(is_lot=True)
    station, clerk = build.a_station(), build.a_person("stores", "controller")
    with people(2) as at_once:
        for number in range(ROUNDS):
            lot = build.a_unit(part, serial_number=f"L{number}", quantity=10)
            build.moved(lot, "received", build.in_store(station), "2027-03-01", quantity=10)
            split = [
                partial(
                    split_lot,
                    by=clerk,
                    unit_id=lot.pk,
                    quantity=6,
                    serial_number=f"L{number}-{half}",
                    when=When(AT),
                    act_id=uuid4(),
                    at=AT,
                )
                for half in "AB"
            ]
            codes = at_once(*(partial(tried, act) for act in split))
            assert sorted(codes, key=str) == sorted([None, "quantity_not_there"], key=str)
            pieces = Unit.objects.filter(serial_number__startswith=f"L{number}")
            pieces = pieces.filter(original_part=part).exclude(serial_number__gt=f"L{number}~")
            alike = [one for one in pieces if one.serial_number.split("-")[0] == f"L{number}"]
            assert sum(one.quantity for one in alike) == 10
    assert list(check_whereabouts()) == []


def test_two_prints_at_once_have_two_numbers_and_one_is_back_once():
    unit, clerk = a_stocked_unit(), build.a_person("stores")
    UnitTag.objects.create(
        act_id=uuid4(),
        unit=unit,
        sort="serviceable",
        tagged_at=AT,
        recorded_at=AT,
        recorded_by=clerk,
    )
    with people(2) as at_once:
        for _ in range(ROUNDS):
            prints = [
                partial(print_tag, by=clerk, unit_id=unit.pk, act_id=uuid4(), at=AT) for _ in "ab"
            ]
            one, _ = at_once(*prints)
            backs = [
                partial(bring_tag_back, by=clerk, printed_id=one.pk, act_id=uuid4(), at=AT)
                for _ in "ab"
            ]
            codes = at_once(*(partial(tried, act) for act in backs))
            assert sorted(codes, key=str) == sorted([None, "tag_back_already"], key=str)
    numbers = list(PrintedTag.objects.order_by("number").values_list("number", flat=True))
    assert numbers == list(range(1, 2 * ROUNDS + 1))


def test_no_more_is_received_than_was_asked_for():
    part, clerk = build.a_part(), build.a_person("stores")
    with people(2) as at_once:
        for _ in range(ROUNDS):
            wanted = NewRequest(part.number, 3, "Short.", maker=part.maker.code)
            request = request_purchase(by=clerk, wanted=wanted, act_id=uuid4(), at=AT, today=TODAY)
            step = NewStep(request.pk, "received", quantity=2)
            acts = [
                partial(note_purchase, by=clerk, step=step, act_id=uuid4(), at=AT) for _ in "ab"
            ]
            codes = at_once(*(partial(tried, act) for act in acts))
            assert sorted(codes, key=str) == sorted([None, "quantity_wrong"], key=str)
            steps = PurchaseStep.objects.filter(request=request)
            assert sum(each.quantity for each in steps) == 2


def test_pieces_of_a_lot_used_up_twice_at_once_are_used_once():
    part = build.a_part(is_lot=True)
    station, clerk = build.a_station(), build.a_person("stores", "controller")
    with people(2) as at_once:
        for number in range(ROUNDS):
            lot = a_stocked_unit(station, part, serial_number=f"U{number}", quantity=10)
            used = PiecesUsed(lot.pk, 6, "WO-9", TODAY)
            acts = [partial(use_pieces, by=clerk, used=used, act_id=uuid4(), at=AT) for _ in "ab"]
            codes = at_once(*(partial(tried, act) for act in acts))
            assert sorted(codes, key=str) == sorted([None, "quantity_not_there"], key=str)
            lot.refresh_from_db()
            assert lot.quantity == 4
            other = f"{part.number} U{number}-2"
            assert tried(
                partial(
                    join_lots,
                    by=clerk,
                    joined=LotsJoined(lot.pk, other),
                    act_id=uuid4(),
                    at=AT,
                )
            )
    assert list(check_whereabouts()) == []
